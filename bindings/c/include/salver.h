/*
 * salver: is this meal tray safe for this diet order?
 *
 * It supports trained staff and does not replace them. It judges words, not the food on the plate: the label, the
 * recipe actually cooked, facility policy, local codes and licensed staff decide. It never says "safe", only
 * "nothing found against this tray".
 *
 * Made from bindings/c/src/lib.rs; do not edit. These rules hold for every function:
 *
 * Status    A call that can fail returns a salver_status and writes its last parameter, the out-parameter, only when it
 *           returns SALVER_STATUS_OK. salver_error_text then says what is wrong otherwise.
 * Texts     Inputs are UTF-8 with their length in bytes; no zero byte at the end is needed. The caller keeps them, and
 *           the library holds on to nothing after the call. `length` bytes must be readable. Answers are UTF-8 JSON
 *           ended by a zero byte and hold no other.
 * Freeing   What an out-parameter receives belongs to the caller, who gives it back once, unchanged, to the function
 *           named: checkers to salver_checker_free, answers to salver_text_free; never to free(). A const char * that
 *           a function returns belongs to the library.
 * Threads   A checker is immutable: any number of threads may call with one at the same time, without a lock. It may be
 *           freed on any thread, once no other uses it. Error texts are kept for each thread apart.
 * Faults    A panic inside the library is caught and becomes SALVER_STATUS_PANIC; nothing unwinds into the caller.
 *           Running out of memory ends the process.
 */

#ifndef SALVER_H
#define SALVER_H

#include <stddef.h>
#include <stdint.h>

/**
 * The version of the exchange format that this library reads and writes.
 */
#define SALVER_FORMAT_VERSION 1

/**
 * Most bytes that salver_checker_check, salver_checker_read and salver_checker_card take, and most in one line of
 * salver_checker_check_lines.
 */
#define SALVER_CHECK_BYTES 4000000

/**
 * Most bytes of all lines that one call of salver_checker_check_lines takes; cut longer input at line ends.
 */
#define SALVER_LINES_BYTES 64000000

/**
 * Most bytes of an overlay.
 */
#define SALVER_OVERLAY_BYTES 64000000

/**
 * What became of a call. 1xx: the call is wrong; 2xx: its content is wrong; 9xx: the library is wrong. A number
 * never changes its meaning; later versions may add some.
 */
typedef enum {
  /**
   * Done; the out-parameter is written.
   */
  SALVER_STATUS_OK = 0,
  /**
   * A pointer is NULL that must not be.
   */
  SALVER_STATUS_NULL_POINTER = 101,
  /**
   * A length is over the bound for it; nothing was read.
   */
  SALVER_STATUS_TOO_LONG = 102,
  /**
   * The input is not UTF-8.
   */
  SALVER_STATUS_NOT_UTF8 = 201,
  /**
   * Not JSON, an unknown field, a wrong type, or past a bound. The error text names the place and the remedy.
   */
  SALVER_STATUS_INVALID_INPUT = 202,
  /**
   * The overlay has problems; the error text lists every one, a line each.
   */
  SALVER_STATUS_INVALID_ONTOLOGY = 203,
  /**
   * The library panicked and the panic was caught: a defect, please report it. The handle can be used on.
   */
  SALVER_STATUS_PANIC = 901,
} salver_status;

/**
 * An ontology made ready to judge. Immutable: any number of threads may use one at the same time.
 */
typedef struct salver_checker salver_checker;

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

/**
 * Makes a checker over the built-in ontology; free it with salver_checker_free.
 *
 * Takes about a fifth of a second of processor time: make one and keep it.
 */
salver_status salver_checker_new(salver_checker **checker);

/**
 * As salver_checker_new, with a facility's own foods, names and rules laid over the ontology.
 *
 * `overlay` is the JSON text of one overlay file, `length` its bytes, at most SALVER_OVERLAY_BYTES.
 */
salver_status salver_checker_new_with_overlay(const char *overlay, size_t length, salver_checker **checker);

/**
 * Frees a checker. NULL is allowed. No other thread may still be using it.
 */
void salver_checker_free(salver_checker *checker);

/**
 * The version of the checker's ontology, such as "1.0.0". Valid until the checker is freed; NULL when `checker` is.
 *
 * Every verdict repeats it, with the digest of the content and the name of the overlay.
 */
const char *salver_checker_ontology_version(const salver_checker *checker);

/**
 * Judges one tray against one order.
 *
 * `check` is one JSON object (order and tray) of the exchange format, `length` its bytes, at most SALVER_CHECK_BYTES.
 * `answer` receives the verdict as one JSON object; free it with salver_text_free.
 */
salver_status salver_checker_check(const salver_checker *checker, const char *check, size_t length, char **answer);

/**
 * Judges many checks: JSON Lines in, JSON Lines out, in input order.
 *
 * `lines` holds one check a line, `length` is the bytes of all, at most SALVER_LINES_BYTES; blank lines are skipped.
 * `answers` receives one line for each check, each ended by a line feed: the verdict, or {"error": {"line", "field",
 * "what", "remedy"}} in the place of a check that could not be taken, with its line number from 1. The call is then
 * still SALVER_STATUS_OK: only a line with "verdict" is one. Free it with salver_text_free.
 */
salver_status salver_checker_check_lines(const salver_checker *checker,
                                         const char *lines,
                                         size_t length,
                                         char **answers);

/**
 * What a food text holds.
 *
 * `item` is one JSON object {"id", "name", "ingredients", "tested"}, of which only "name" is needed, `length` its
 * bytes, at most SALVER_CHECK_BYTES. `answer` receives one JSON object; free it with salver_text_free.
 */
salver_status salver_checker_read(const salver_checker *checker, const char *item, size_t length, char **answer);

/**
 * What a diet card orders.
 *
 * `card` is one JSON object {"id", "text"}, of which only "text" is needed, `length` its bytes, at most
 * SALVER_CHECK_BYTES. `answer` receives one JSON object; free it with salver_text_free.
 */
salver_status salver_checker_card(const salver_checker *checker, const char *card, size_t length, char **answer);

/**
 * Frees an answer. NULL is allowed.
 */
void salver_text_free(char *text);

/**
 * What went wrong in the last call on this thread that did not return SALVER_STATUS_OK; "" when there was none.
 *
 * For people: names the field, the place and the remedy, in UTF-8. Valid until the next call on this thread that
 * fails, or the thread's end; copy it to keep it.
 */
const char *salver_error_text(void);

/**
 * The version of this library, such as "1.0.0". Always valid.
 */
const char *salver_library_version(void);

/**
 * SALVER_FORMAT_VERSION as the loaded library has it: the version of the exchange format.
 */
uint32_t salver_format_version(void);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* SALVER_H */
