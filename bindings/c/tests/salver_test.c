/*
 * The C interface as a C program meets it: salver_test FOLDER ROUNDS.
 * FOLDER holds NAME.jsonl and, made by the `salver` command, NAME.out: the bytes that must come back.
 */
#include <pthread.h>
#include <salver.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define THREADS 8

static int failures = 0;
static pthread_mutex_t reporting = PTHREAD_MUTEX_INITIALIZER;

static void expect(int holds, const char *what, int line) {
  if (!holds) {
    pthread_mutex_lock(&reporting);
    failures = 1;
    fprintf(stderr, "%s:%d: not so: %s (%s)\n", __FILE__, line, what, salver_error_text());
    pthread_mutex_unlock(&reporting);
  }
}

#define EXPECT(condition) expect((condition), #condition, __LINE__)

typedef salver_status (*call)(const salver_checker *, const char *, size_t, char **);

struct bytes {
  char *start;
  size_t length;
};

static const char *folder;

static struct bytes read_file(const char *name, const char *ending) {
  char path[4096];
  struct bytes file = {NULL, 0};
  FILE *stream;
  long length;
  snprintf(path, sizeof path, "%s/%s%s", folder, name, ending);
  stream = fopen(path, "rb");
  if (stream == NULL || fseek(stream, 0, SEEK_END) != 0 || (length = ftell(stream)) < 0) {
    perror(path);
    exit(2);
  }
  rewind(stream);
  file.length = (size_t)length;
  file.start = malloc(file.length + 1);
  if (file.start == NULL || fread(file.start, 1, file.length, stream) != file.length) {
    perror(path);
    exit(2);
  }
  file.start[file.length] = '\0';
  fclose(stream);
  return file;
}

/* The bytes alone in a block of their own, without an end: valgrind sees a read past them. */
static char *exactly(const char *start, size_t length) {
  char *copy = malloc(length == 0 ? 1 : length);
  if (copy == NULL) {
    exit(2);
  }
  memcpy(copy, start, length);
  return copy;
}

/* A call that must fail: with this status, this word in its text, and the out-parameter left alone. */
static void refused(call function, const salver_checker *checker, const char *json, size_t length, salver_status status,
                    const char *word) {
  char mark;
  char *answer = &mark;
  EXPECT(function(checker, json, length, &answer) == status);
  EXPECT(answer == &mark);
  EXPECT(strstr(salver_error_text(), word) != NULL);
}

/* Every line of NAME.jsonl, one call each, answers the line of NAME.out; returns how many. */
static size_t each_line(call function, const salver_checker *checker, const struct bytes *in, const struct bytes *out) {
  const char *ask = in->start;
  const char *wanted = out->start;
  size_t count = 0;
  while (ask < in->start + in->length) {
    size_t ask_length = strcspn(ask, "\n");
    size_t wanted_length = strcspn(wanted, "\n");
    char *json = exactly(ask, ask_length);
    char *answer = NULL;
    EXPECT(function(checker, json, ask_length, &answer) == SALVER_STATUS_OK);
    EXPECT(answer != NULL && strlen(answer) == wanted_length && memcmp(answer, wanted, wanted_length) == 0);
    salver_text_free(answer);
    free(json);
    ask += ask_length + 1;
    wanted += wanted_length + 1;
    count++;
  }
  EXPECT(wanted == out->start + out->length);
  return count;
}

static void same_bytes(call function, const salver_checker *checker, const char *name, size_t at_least) {
  struct bytes in = read_file(name, ".jsonl");
  struct bytes out = read_file(name, ".out");
  EXPECT(each_line(function, checker, &in, &out) >= at_least);
  free(in.start);
  free(out.start);
}

static void same_batch(const salver_checker *checker, const char *name) {
  struct bytes in = read_file(name, ".jsonl");
  struct bytes out = read_file(name, ".out");
  char *lines = exactly(in.start, in.length);
  char *answers = NULL;
  EXPECT(salver_checker_check_lines(checker, lines, in.length, &answers) == SALVER_STATUS_OK);
  EXPECT(answers != NULL && strlen(answers) == out.length && memcmp(answers, out.start, out.length) == 0);
  salver_text_free(answers);
  free(lines);
  free(in.start);
  free(out.start);
}

static void versions(const salver_checker *checker) {
  const char *version = salver_checker_ontology_version(checker);
  EXPECT(version != NULL && strchr(version, '.') != NULL);
  EXPECT(salver_checker_ontology_version(NULL) == NULL);
  EXPECT(strcmp(salver_library_version(), LIBRARY_VERSION) == 0);
  EXPECT(salver_format_version() == SALVER_FORMAT_VERSION);
}

static void nulls_and_lengths(const salver_checker *checker) {
  static const struct {
    call function;
    size_t bound;
  } calls[] = {{salver_checker_check, SALVER_CHECK_BYTES},
               {salver_checker_read, SALVER_CHECK_BYTES},
               {salver_checker_card, SALVER_CHECK_BYTES},
               {salver_checker_check_lines, SALVER_LINES_BYTES}};
  size_t n;
  for (n = 0; n < sizeof calls / sizeof calls[0]; n++) {
    call function = calls[n].function;
    /* A length past the bound is refused unread: two bytes are all there is. */
    refused(function, checker, "{}", SIZE_MAX, SALVER_STATUS_TOO_LONG, "bound");
    refused(function, checker, "{}", calls[n].bound + 1, SALVER_STATUS_TOO_LONG, "bound");
    refused(function, NULL, "{}", 2, SALVER_STATUS_NULL_POINTER, "checker");
    refused(function, checker, NULL, 2, SALVER_STATUS_NULL_POINTER, "input");
    refused(function, checker, NULL, 0, SALVER_STATUS_NULL_POINTER, "input");
    EXPECT(function(checker, "{}", 2, NULL) == SALVER_STATUS_NULL_POINTER);
    EXPECT(strstr(salver_error_text(), "out-parameter") != NULL);
  }
  EXPECT(salver_checker_new(NULL) == SALVER_STATUS_NULL_POINTER);
  salver_checker_free(NULL);
  salver_text_free(NULL);
}

static void bad_json(const salver_checker *checker) {
  static const char whole[] =
      "{\"id\":\"caf\xc3\xa9\",\"order\":{\"allergies\":[\"milk\"]},\"tray\":{\"items\":[{\"name\":\"cr\xc3\xaape\"}]}}";
  static const char zero_in_key[] = "{\"order\":{},\"tray\":{\"items\":[]},\"a\\u0000seen\":1}";
  size_t length = sizeof whole - 1;
  size_t n;
  uint32_t random = 1;
  char *answer = NULL;
  EXPECT(salver_checker_check(checker, whole, length, &answer) == SALVER_STATUS_OK);
  salver_text_free(answer);
  /* Cut at every byte: never an answer, and bytes that are not UTF-8 where a letter is cut. */
  for (n = 0; n < length; n++) {
    char *cut = exactly(whole, n);
    char mark;
    salver_status status;
    answer = &mark;
    status = salver_checker_check(checker, cut, n, &answer);
    EXPECT(status == (n > 0 && whole[n - 1] == '\xc3' ? SALVER_STATUS_NOT_UTF8 : SALVER_STATUS_INVALID_INPUT));
    EXPECT(answer == &mark);
    free(cut);
  }
  /* Any bytes: a typed error from every call, and from the batch an error line. */
  for (n = 0; n < 200; n++) {
    char noise[64];
    size_t i;
    for (i = 0; i < sizeof noise; i++) {
      random = random * 1664525u + 1013904223u;
      noise[i] = (char)(random >> 24);
    }
    answer = NULL;
    EXPECT(salver_checker_check(checker, noise, sizeof noise, &answer) >= SALVER_STATUS_NOT_UTF8);
    EXPECT(salver_checker_read(checker, noise, sizeof noise, &answer) >= SALVER_STATUS_NOT_UTF8);
    EXPECT(salver_checker_card(checker, noise, sizeof noise, &answer) >= SALVER_STATUS_NOT_UTF8);
    EXPECT(answer == NULL);
    EXPECT(salver_checker_check_lines(checker, noise, sizeof noise, &answer) == SALVER_STATUS_OK);
    EXPECT(answer != NULL && strstr(answer, "\"error\"") != NULL && strstr(answer, "\"verdict\"") == NULL);
    salver_text_free(answer);
  }
  refused(salver_checker_check, checker, "{\"order\":{\"alergies\":[]},\"tray\":{\"items\":[]}}", 46,
          SALVER_STATUS_INVALID_INPUT, "alergies");
  refused(salver_checker_check, checker, "[]", 2, SALVER_STATUS_INVALID_INPUT, "object");
  refused(salver_checker_read, checker, "{\"name\":7}", 10, SALVER_STATUS_INVALID_INPUT, "string");
  /* A zero byte inside a message does not end it. */
  refused(salver_checker_check, checker, zero_in_key, sizeof zero_in_key - 1, SALVER_STATUS_INVALID_INPUT, "seen");
}

static void overlays(void) {
  struct bytes overlay = read_file("overlay", ".json");
  char *exact = exactly(overlay.start, overlay.length);
  salver_checker *checker = NULL;
  salver_checker *none = NULL;
  EXPECT(salver_checker_new_with_overlay(exact, overlay.length, &checker) == SALVER_STATUS_OK);
  same_bytes(salver_checker_check, checker, "overlaid", 2);
  salver_checker_free(checker);

  EXPECT(salver_checker_new_with_overlay(exact, overlay.length / 2, &none) == SALVER_STATUS_INVALID_ONTOLOGY);
  EXPECT(strstr(salver_error_text(), "problem") != NULL);
  EXPECT(salver_checker_new_with_overlay("\xff", 1, &none) == SALVER_STATUS_NOT_UTF8);
  EXPECT(salver_checker_new_with_overlay("{}", SIZE_MAX, &none) == SALVER_STATUS_TOO_LONG);
  EXPECT(salver_checker_new_with_overlay(NULL, 2, &none) == SALVER_STATUS_NULL_POINTER);
  EXPECT(salver_checker_new_with_overlay(exact, overlay.length, NULL) == SALVER_STATUS_NULL_POINTER);
  EXPECT(none == NULL);
  free(exact);
  free(overlay.start);
}

struct work {
  const salver_checker *checker;
  const struct bytes *in, *out;
  int number, rounds;
};

static void *one_thread(void *given) {
  const struct work *work = given;
  char bad[64];
  char wanted[16];
  int n;
  EXPECT(salver_error_text()[0] == '\0');
  snprintf(wanted, sizeof wanted, "thread-%d", work->number);
  snprintf(bad, sizeof bad, "{\"%s\":1}", wanted);
  for (n = 0; n < work->rounds; n++) {
    refused(salver_checker_check, work->checker, bad, strlen(bad), SALVER_STATUS_INVALID_INPUT, wanted);
    each_line(salver_checker_check, work->checker, work->in, work->out);
    /* What the other threads did wrong meanwhile is not heard of here. */
    EXPECT(strstr(salver_error_text(), wanted) != NULL);
  }
  return NULL;
}

static void threads_share_one(const salver_checker *checker, int rounds) {
  struct bytes in = read_file("cases", ".jsonl");
  struct bytes out = read_file("cases", ".out");
  pthread_t threads[THREADS];
  struct work work[THREADS];
  int n;
  for (n = 0; n < THREADS; n++) {
    work[n].checker = checker;
    work[n].in = &in;
    work[n].out = &out;
    work[n].number = n;
    work[n].rounds = rounds;
    if (pthread_create(&threads[n], NULL, one_thread, &work[n]) != 0) {
      exit(2);
    }
  }
  for (n = 0; n < THREADS; n++) {
    pthread_join(threads[n], NULL);
  }
  free(in.start);
  free(out.start);
}

int main(int count, char **arguments) {
  salver_checker *checker = NULL;
  if (count != 3) {
    fprintf(stderr, "salver_test FOLDER ROUNDS\n");
    return 2;
  }
  folder = arguments[1];
  EXPECT(salver_error_text()[0] == '\0');
  if (salver_checker_new(&checker) != SALVER_STATUS_OK) {
    fprintf(stderr, "%s\n", salver_error_text());
    return 1;
  }
  versions(checker);
  nulls_and_lengths(checker);
  bad_json(checker);
  overlays();
  same_bytes(salver_checker_check, checker, "cases", 100);
  same_bytes(salver_checker_read, checker, "items", 100);
  same_bytes(salver_checker_card, checker, "cards", 20);
  same_batch(checker, "cases");
  same_batch(checker, "mixed");
  threads_share_one(checker, atoi(arguments[2]));
  salver_checker_free(checker);
  return failures;
}
