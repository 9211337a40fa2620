// All records from one database into another, of whichever sort: what backups and moving to a server stand on.
#pragma once

#include <string>
#include <vector>

#include "throughcure/base/record.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::store {

struct CopiedTable {
  std::string name;
  std::vector<std::string> columns;
  Types types;
};

/// Every table of the store as it stands in a database, by name. Throws base::Failure where one has a column of a type
/// that the store does not make.
std::vector<CopiedTable> tables_in(Session& session);

/// Copies every row of a table into the one of that name, which is emptied first and must have the same columns. Call
/// it between begin and commit of both.
void copy_table(Session& from, Session& to, const CopiedTable& table);

/// The rows of a table, in the order that it was filled in, as one hash: of an SQLite file only.
struct TableHash {
  std::int64_t rows = 0;
  std::string sha256;  ///< hexadecimal
};
TableHash hash_of(Session& file, const CopiedTable& table);

}  // namespace throughcure::store
