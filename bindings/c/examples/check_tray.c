/* One tray against one order:  cc check_tray.c $(pkg-config --cflags --libs salver) */
#include <salver.h>
#include <stdio.h>
#include <string.h>

static int fail(void) {
  fprintf(stderr, "check_tray: %s\n", salver_error_text());
  return 1;
}

int main(void) {
  const char *check = "{\"order\": {\"allergies\": [\"sesame\"], \"food_level\": 6},"
                      " \"tray\": {\"items\": [{\"name\": \"falafel with tahini sauce\"}]}}";
  salver_checker *checker;
  char *answer;

  if (salver_checker_new(&checker) != SALVER_STATUS_OK) {
    return fail();
  }
  if (salver_checker_check(checker, check, strlen(check), &answer) != SALVER_STATUS_OK) {
    salver_checker_free(checker);
    return fail();
  }
  puts(answer);
  salver_text_free(answer);
  salver_checker_free(checker);
  return 0;
}
