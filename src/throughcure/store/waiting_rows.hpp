// Rows that a writer has made and its database has not been told of yet, so that those of a table go in one statement.
#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "throughcure/base/record.hpp"

namespace throughcure::store {

/// Where rows go.
struct Into {
  std::string table;
  std::vector<std::string> columns;
  std::vector<base::ValueType> types;  ///< of the columns
};

class WaitingRows {
 public:
  /// A value for each column.
  void add(const Into& into, std::vector<base::Value> row);

  [[nodiscard]] bool empty() const { return rows_.empty(); }
  [[nodiscard]] std::size_t size() const { return rows_.size(); }
  /// Whether a statement may concern a table for which rows wait: its name stands somewhere in it.
  [[nodiscard]] bool named_in(const std::string& sql) const;

  /// Those that came after the first `count` are dropped.
  void cut(std::size_t count) { rows_.erase(rows_.begin() + static_cast<std::ptrdiff_t>(count), rows_.end()); }
  /// The first ones alone.
  [[nodiscard]] WaitingRows first(std::size_t count) const;

  /// One statement for some rows of a table: their values one after the other, for `:v0`, `:v1`, ...
  struct Statement {
    std::string sql;
    std::vector<base::ValueType> types;
    std::vector<base::Value> values;
  };
  /// Statements for all of them; of few lengths, so that they can be kept prepared.
  void each_statement(const std::function<void(const Statement&)>& take) const;

 private:
  struct Row {
    std::shared_ptr<const Into> into;
    std::vector<base::Value> values;
  };
  std::map<std::string, std::shared_ptr<const Into>> tables_;
  std::vector<Row> rows_;
};

}  // namespace throughcure::store
