// A parsed TOML file, what was asked of it and what is wrong with it: what the handles of toml_table.hpp share.
#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <filesystem>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/notation.hpp"
#include "throughcure/exchange/toml_library.hpp"

namespace throughcure::exchange {

enum class Need : std::uint8_t { kRequired, kOptional };

/// What stands at a field; null where nothing does.
struct TomlValue {
  const toml::node* node = nullptr;
  std::string field;
};

class TomlState {
 public:
  /// A table that a reader has entered. `node` is null for a stand-in: everything is absent there and nothing is said.
  struct Entered {
    const toml::table* node = nullptr;
    std::string field;
    std::set<std::string, std::less<>> known{};
    std::set<std::string, std::less<>> used{};
  };

  /// `notation`: what the document was written in, before it was TOML.
  TomlState(std::string name, std::filesystem::path folder, Notation notation)
      : name_(std::move(name)), folder_(std::move(folder)), notation_(notation) {}
  TomlState(const TomlState&) = delete;  // what was entered points into the file
  TomlState& operator=(const TomlState&) = delete;

  /// Takes the file in, or one that cannot be read: its root is a stand-in then. Call one of the two, once.
  void take(toml::table root);
  void take_unreadable();

  [[nodiscard]] const toml::table& root() const { return root_; }
  [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }
  [[nodiscard]] Notation notation() const { return notation_; }
  [[nodiscard]] const base::Problems& problems() const { return problems_; }
  [[nodiscard]] const Entered& entered(std::size_t index) const { return entered_[index]; }

  /// The index of a table that is entered, now or before; the root's is 0.
  std::size_t enter(const toml::table* node, std::string field);

  /// Walks the dotted path and makes what it passes known. Marks it as used, and adds a problem where a required value
  /// is missing.
  TomlValue find(std::size_t index, std::string_view path, Need need, const std::string& wanted_text);
  /// The same, marking nothing and saying nothing.
  bool has(std::size_t index, std::string_view path);

  /// Adds a problem, once, in the order of the file's lines. At most 200 are kept. Of a document that was no TOML the
  /// order is the same, but nobody saw the lines: they are not named.
  void add(const toml::source_region& source, std::string field, std::string what, std::string remedy);
  void add(base::Problem problem);
  void wrong_kind(const TomlValue& value, const std::string& wanted_text);
  /// Adds a problem for each key that was given but not used.
  void add_unused();

 private:
  void missing(const Entered& table, std::string field, const std::string& wanted_text);
  void add_unused_of(std::size_t index);
  void add_unused_in(const toml::node& node);

  std::string name_;
  std::filesystem::path folder_;
  toml::table root_;
  Notation notation_;
  base::Problems problems_;
  std::vector<std::pair<int, int>> places_;  ///< by problem: its line and column, named or not
  std::deque<Entered> entered_;
  std::map<const toml::table*, std::size_t> index_of_;
  bool readable_ = true;
};

/// The value as the file has it, cut short: what a problem quotes. Empty for a table or an array.
std::string shown_value(const toml::node& node);

}  // namespace throughcure::exchange
