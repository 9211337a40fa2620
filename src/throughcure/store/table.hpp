// What the store itself knows of a kind of record, and how it is asked for records.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/record.hpp"

namespace throughcure::store {

struct Table {
  std::string_view kind;
  std::vector<base::Column> columns;
};

template <class Record>
Table table_of() {
  return {base::kind_of<Record>(), base::columns_of<Record>()};
}

/// A revision of a record as it is kept.
struct Row {
  std::int64_t id = 0;
  std::int64_t revision = 0;  ///< counts from 1
  std::int64_t change = 0;    ///< number of the change in the audit log that wrote it
  std::vector<base::Value> values;
};

enum class Compare : std::uint8_t { kEqual, kBelow, kAtMost, kAbove, kAtLeast };

struct Condition {
  std::string column;
  Compare compare = Compare::kEqual;
  base::Value value;
};

/// A column that is asked for, or only whether it holds anything (1 or 0): a long text is not read then.
struct Wanted {
  std::string column;
  bool only_whether = false;
};

/// Which of the newest revisions, and in what order; by number where no column is named.
struct Query {
  std::vector<Condition> where;
  std::string order_by;
  bool descending = false;
  std::size_t limit = 1000;
  std::size_t offset = 0;
};

}  // namespace throughcure::store
