// How words come out when they are set: how wide they are, and where a line of them ends.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

namespace throughcure::draw {

/// Measures as paint() sets type on a print. Not safe from two threads at once.
class TypeSetter {
 public:
  /// Throws base::Failure where there is no memory for it.
  TypeSetter();
  ~TypeSetter();
  TypeSetter(const TypeSetter&) = delete;
  TypeSetter& operator=(const TypeSetter&) = delete;

  /// Of one line [mm].
  [[nodiscard]] double width_mm(const std::string& words, double size_mm) const;

  /// The words in lines no wider than that, broken between words, and inside one only where it alone is too wide. A
  /// line break among the words is kept. Always one line at least, which may be empty.
  [[nodiscard]] std::vector<std::string> lines(const std::string& words, double size_mm, double most_mm) const;

  /// The same, at most so many lines: an ellipsis ends the last one where words were left out.
  [[nodiscard]] std::vector<std::string> lines(const std::string& words, double size_mm, double most_mm,
                                               std::size_t most_lines) const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace throughcure::draw
