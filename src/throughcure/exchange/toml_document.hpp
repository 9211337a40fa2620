// A document read by name and unit, a TOML file or what came as JSON: every getter says what it wants, and everything
// wrong is found in one go.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/plain_value.hpp"
#include "throughcure/exchange/toml_table.hpp"

namespace throughcure::exchange {

/// A whole document, at most 1 MiB. Not for use from several threads at once.
class TomlDocument {
 public:
  /// Reads the file. One that cannot be read or parsed is a problem of the document (with line and column); its
  /// getters then return stand-ins and add nothing more.
  static TomlDocument open(const std::filesystem::path& path);

  /// Reads text that came from elsewhere. `name` stands for the file in problems; relative paths start from `folder`.
  static TomlDocument parse(std::string_view text, std::string name, std::filesystem::path folder = {});

  /// The same of what came as JSON (parse_json): what is wrong is said in its words, and names no line.
  static TomlDocument of_json(const PlainTable& document, std::string name, std::filesystem::path folder = {});

  [[nodiscard]] TomlTable root() const;

  /// Everything in the file, in the order of its lines; counts as using nothing. What is no plain value (a date, nan,
  /// an infinity, or deeper than 16 levels) adds a problem and is left out.
  [[nodiscard]] PlainTable plain() const;

  /// The problems so far, in the order of the file's lines.
  [[nodiscard]] const base::Problems& problems() const;

  /// Adds a problem for each key given but not used, and returns all problems in the order of the file's lines.
  /// Empty: every value that was read can be relied on. Call it once, after the last getter.
  [[nodiscard]] base::Problems finish();

 private:
  static TomlDocument parse_into(std::shared_ptr<TomlState> state, std::string_view text);
  explicit TomlDocument(std::shared_ptr<TomlState> state) : state_(std::move(state)) {}
  std::shared_ptr<TomlState> state_;
};

}  // namespace throughcure::exchange
