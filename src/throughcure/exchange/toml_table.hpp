// One table of a TOML file, read by name and unit: every getter says what it wants, and adds what is wrong to its file.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <initializer_list>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "throughcure/exchange/limits.hpp"

namespace throughcure::exchange {

class TomlState;  // the file, and what is wrong with it

/// How many an array may hold.
struct Count {
  std::size_t at_least = 0;
  std::size_t at_most = 100'000;
};

/// What stands at a key.
enum class Shape : std::uint8_t {
  kAbsent,
  kTable,
  kTables,      ///< an array of tables, at least one
  kNumber,      ///< whole or not
  kOtherArray,  ///< any other array
  kOther,       ///< text, true or false, a date
};

/// One table of a file. A light handle: copies see the same file. `path` is dotted and relative to this table.
///
/// A required getter whose key is missing or unusable adds a problem to the document and returns a stand-in within the
/// limits, so that the reader goes on and finds the rest; build nothing from the values before `finish` came back
/// empty. An optional getter returns nothing for a key that is not there, and adds a problem for one that is wrong.
class TomlTable {
 public:
  /// Whether the key is there. Makes its name known, but does not count as using it.
  [[nodiscard]] bool has(std::string_view path) const;

  /// What stands there, for a reader that walks a file it knows nothing about. Counts as nothing.
  [[nodiscard]] Shape shape(std::string_view path) const;

  [[nodiscard]] double number(std::string_view path, const Limits& limits = {}) const;
  [[nodiscard]] std::optional<double> optional_number(std::string_view path, const Limits& limits = {}) const;

  /// A whole number; 3.0 is not one.
  [[nodiscard]] std::int64_t whole(std::string_view path, std::int64_t at_least, std::int64_t at_most) const;
  [[nodiscard]] std::optional<std::int64_t> optional_whole(std::string_view path, std::int64_t at_least,
                                                           std::int64_t at_most) const;

  /// Text that is not empty, holds no control characters and at most 2,000 bytes.
  [[nodiscard]] std::string text(std::string_view path) const;
  [[nodiscard]] std::optional<std::string> optional_text(std::string_view path) const;

  /// As `text`, but `""` may be said on purpose; the key itself is required.
  [[nodiscard]] std::string text_or_empty(std::string_view path) const;

  [[nodiscard]] bool flag(std::string_view path) const;
  [[nodiscard]] std::optional<bool> optional_flag(std::string_view path) const;

  /// One of the words; the stand-in is the first.
  [[nodiscard]] std::string choice(std::string_view path, std::initializer_list<std::string_view> words) const;
  [[nodiscard]] std::optional<std::string> optional_choice(std::string_view path,
                                                           std::initializer_list<std::string_view> words) const;

  /// One of words that are only known when the program runs; at least one. The result is its place among them.
  [[nodiscard]] std::size_t choice_among(std::string_view path, const std::vector<std::string_view>& words) const;

  /// One of the words, as what it stands for: `choice<Beam>("kind", {{"uniform", Beam::uniform}, ...})`.
  template <class T>
  [[nodiscard]] T choice(std::string_view path, std::initializer_list<std::pair<std::string_view, T>> meanings) const {
    return std::data(meanings)[word_index(path, words_of(meanings), true).value_or(0)].second;
  }
  template <class T>
  [[nodiscard]] std::optional<T> optional_choice(std::string_view path,
                                                 std::initializer_list<std::pair<std::string_view, T>> meanings) const {
    const auto index = word_index(path, words_of(meanings), false);
    if (!index) return std::nullopt;
    return std::data(meanings)[*index].second;
  }

  /// An array of numbers, each within the limits. Anything wrong in it: the problems are added, the array is empty.
  [[nodiscard]] std::vector<double> numbers(std::string_view path, const Limits& limits = {}, Count count = {}) const;
  [[nodiscard]] std::optional<std::vector<double>> optional_numbers(std::string_view path, const Limits& limits = {},
                                                                    Count count = {}) const;

  /// An array of texts, each as `text` wants it.
  [[nodiscard]] std::vector<std::string> texts(std::string_view path, Count count = {}) const;
  [[nodiscard]] std::optional<std::vector<std::string>> optional_texts(std::string_view path, Count count = {}) const;

  /// A table inside this one. Where it is missing, the stand-in is an empty one that adds no problems of its own.
  [[nodiscard]] TomlTable table(std::string_view path) const;
  [[nodiscard]] std::optional<TomlTable> optional_table(std::string_view path) const;
  /// One that may be missing altogether: every key of it is then absent, and a required one adds no problem.
  [[nodiscard]] TomlTable table_or_empty(std::string_view path) const;

  /// An array of tables (`[[path]]`); elements are named path[1], path[2], ... in problems. None given: empty, and a
  /// problem only where `count.at_least` asks for more.
  [[nodiscard]] std::vector<TomlTable> tables(std::string_view path, Count count = {}) const;

  /// A file named by this one: relative paths start from the folder of the file that names them. Not opened here.
  [[nodiscard]] std::filesystem::path file(std::string_view path) const;
  [[nodiscard]] std::optional<std::filesystem::path> optional_file(std::string_view path) const;

  /// The names of the keys given in this table, in the file's order of lines. Using them is still up to the reader.
  [[nodiscard]] std::vector<std::string> keys() const;

  /// Adds a problem of the reader's own about the value at `path` (or about this table, for an empty path).
  void refuse(std::string_view path, std::string what, std::string remedy) const;

 private:
  friend class TomlDocument;
  TomlTable(std::shared_ptr<TomlState> state, std::size_t index) : state_(std::move(state)), index_(index) {}

  template <class T>
  static std::vector<std::string_view> words_of(std::initializer_list<std::pair<std::string_view, T>> meanings) {
    std::vector<std::string_view> words;
    for (const auto& meaning : meanings) words.push_back(meaning.first);
    return words;
  }
  [[nodiscard]] std::optional<std::size_t> word_index(std::string_view path, const std::vector<std::string_view>& words,
                                                      bool required) const;

  std::shared_ptr<TomlState> state_;
  std::size_t index_;
};

}  // namespace throughcure::exchange
