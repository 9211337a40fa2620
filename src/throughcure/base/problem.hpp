// What is wrong with an input, said so that its writer can mend it: file, place, field, what, remedy.
#pragma once

#include <exception>
#include <string>
#include <vector>

namespace throughcure::base {

/// One thing wrong with an input. `line` and `column` count from 1; 0 means not known.
struct Problem {
  std::string file;
  int line = 0;
  int column = 0;
  std::string field;
  std::string what;    ///< what is wrong, with the value and the limit
  std::string remedy;  ///< what to do about it
};

/// "light.toml:3:1: tip.diameter_mm: -8 is below the least allowed, 0.5 mm. Give the optical diameter of the tip in
/// mm."
std::string sentence(const Problem& problem);

/// All problems found in an input. Readers add to it and go on, so that a writer sees everything at once.
using Problems = std::vector<Problem>;

/// Input that cannot be used (exit status 2). Carries every problem found; nothing was written.
class InputError : public std::exception {
 public:
  explicit InputError(Problems problems);
  [[nodiscard]] const Problems& problems() const { return problems_; }
  [[nodiscard]] const char* what() const noexcept override { return text_.c_str(); }

 private:
  Problems problems_;
  std::string text_;
};

/// Throws InputError with this one problem of a field.
[[noreturn]] void refuse(std::string field, std::string what, std::string remedy);

/// Throws InputError when there is anything in `problems`.
void refuse_if_any(const Problems& problems);

/// Something failed that is no fault of the input (exit status 3): disk full, a port taken.
class Failure : public std::exception {
 public:
  explicit Failure(std::string text) : text_(std::move(text)) {}
  [[nodiscard]] const char* what() const noexcept override { return text_.c_str(); }

 private:
  std::string text_;
};

/// The work was stopped by its stop token (exit status 130); nothing half-made is left behind.
class Interrupted : public std::exception {
 public:
  [[nodiscard]] const char* what() const noexcept override { return "stopped before it was done"; }
};

}  // namespace throughcure::base
