// JSON Lines from standard input, verdicts to standard output:
//   c++ -std=c++11 check_lines.cpp $(pkg-config --cflags --libs salver) && ./a.out < trays.jsonl
#include <salver.h>

#include <iostream>
#include <iterator>
#include <memory>
#include <stdexcept>
#include <string>

namespace {

// The owners: what the library hands out goes back to the function that takes it.
struct free_checker {
  void operator()(salver_checker *checker) const { salver_checker_free(checker); }
};
struct free_text {
  void operator()(char *text) const { salver_text_free(text); }
};
using checker_ptr = std::unique_ptr<salver_checker, free_checker>;
using text_ptr = std::unique_ptr<char, free_text>;

void require(salver_status status) {
  if (status != SALVER_STATUS_OK) {
    throw std::runtime_error(salver_error_text());
  }
}

checker_ptr make_checker() {
  salver_checker *checker = nullptr;
  require(salver_checker_new(&checker));
  return checker_ptr(checker);
}

text_ptr check_lines(const salver_checker &checker, const std::string &lines) {
  char *answers = nullptr;
  require(salver_checker_check_lines(&checker, lines.data(), lines.size(), &answers));
  return text_ptr(answers);
}

}  // namespace

int main() {
  try {
    const checker_ptr checker = make_checker();
    const std::string lines{std::istreambuf_iterator<char>(std::cin), std::istreambuf_iterator<char>()};
    std::cout << check_lines(*checker, lines).get();
  } catch (const std::exception &error) {
    std::cerr << "check_lines: " << error.what() << '\n';
    return 1;
  }
  return 0;
}
