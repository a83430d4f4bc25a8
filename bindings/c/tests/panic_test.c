/* A panic becomes a status, and the handle that it went through answers as before. Needs the feature `test-panic`. */
#include <salver.h>
#include <stdio.h>
#include <string.h>

salver_status salver_test_panic(const salver_checker *checker, char **answer);

#define REQUIRE(condition)                                                    \
  do {                                                                        \
    if (!(condition)) {                                                       \
      fprintf(stderr, "%s:%d: not so: %s\n", __FILE__, __LINE__, #condition); \
      return 1;                                                               \
    }                                                                         \
  } while (0)

int main(void) {
  static const char check[] =
      "{\"order\":{\"allergies\":[\"sesame\"]},\"tray\":{\"items\":[{\"name\":\"tahini\"}]}}";
  salver_checker *checker = NULL;
  char *before = NULL;
  char *after = NULL;
  int n;
  REQUIRE(salver_checker_new(&checker) == SALVER_STATUS_OK);
  REQUIRE(salver_checker_check(checker, check, sizeof check - 1, &before) == SALVER_STATUS_OK);
  for (n = 0; n < 3; n++) {
    REQUIRE(salver_test_panic(checker, &after) == SALVER_STATUS_PANIC);
    REQUIRE(after == NULL);
    REQUIRE(strstr(salver_error_text(), "panicked") != NULL);
    REQUIRE(salver_checker_check(checker, check, sizeof check - 1, &after) == SALVER_STATUS_OK);
    REQUIRE(strcmp(before, after) == 0);
    salver_text_free(after);
    after = NULL;
  }
  salver_text_free(before);
  salver_checker_free(checker);
  return 0;
}
