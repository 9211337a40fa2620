// A small JSON body, taken apart field by field: everything that is wrong with it is told at once.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/problem.hpp"

namespace throughcure::service {

/// Ask for each field, then call `finish`. A field that is missing or of another sort gives an empty value meanwhile.
class Body {
 public:
  /// Throws base::InputError when it is no JSON object.
  explicit Body(std::string_view document);
  ~Body();
  Body(const Body&) = delete;
  Body& operator=(const Body&) = delete;

  [[nodiscard]] std::string text(std::string_view name) const;
  [[nodiscard]] std::optional<std::string> text_or_none(std::string_view name) const;
  [[nodiscard]] std::int64_t whole(std::string_view name) const;
  [[nodiscard]] std::optional<std::int64_t> whole_or_none(std::string_view name) const;
  [[nodiscard]] double number(std::string_view name) const;
  [[nodiscard]] bool yes(std::string_view name) const;
  [[nodiscard]] bool yes(std::string_view name, bool usual) const;
  /// An object in it; its problems are told by this one's `finish`.
  [[nodiscard]] const Body& part(std::string_view name) const;
  /// The objects of a list in it; their problems are told by this one's `finish`, as of "name.0.field".
  [[nodiscard]] std::vector<const Body*> list(std::string_view name) const;

  /// Throws base::InputError with all that was wrong, a field that nobody asked for included.
  void finish() const;

 private:
  struct Inside;
  explicit Body(std::unique_ptr<Inside> inside);
  void gather(base::Problems& problems, const std::string& before) const;
  std::unique_ptr<Inside> inside_;
};

}  // namespace throughcure::service
