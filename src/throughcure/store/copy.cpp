#include "throughcure/store/copy.hpp"

#include <bit>
#include <cstdint>

#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/practice/big_endian.hpp"
#include "throughcure/practice/digest.hpp"

namespace throughcure::store {

namespace {

using base::ValueType;

ValueType type_called(const std::string& name, const std::string& table) {
  if (name == "INTEGER" || name == "bigint") return ValueType::kWhole;
  if (name == "REAL" || name == "double precision") return ValueType::kReal;
  if (name == "TEXT" || name == "text") return ValueType::kText;
  throw base::Failure("the table " + table + " has a column of type " + name +
                      ", which this program never makes. Restore the last good backup.");
}

std::string list_of(const std::vector<std::string>& names) {
  std::string list;
  for (const std::string& name : names) list.append(list.empty() ? "" : ", ").append(name);
  return list;
}

std::string select(const CopiedTable& table) { return "SELECT " + list_of(table.columns) + " FROM " + table.name; }

/// A row's bytes: no two rows have the same.
std::string bytes_of_row(const Values& row) {
  std::string bytes;
  for (const base::Value& value : row) {
    bytes += static_cast<char>(value.index());
    if (const auto* whole = std::get_if<std::int64_t>(&value)) {
      practice::add_u64(bytes, static_cast<std::uint64_t>(*whole));
    } else if (const auto* real = std::get_if<double>(&value)) {
      practice::add_u64(bytes, std::bit_cast<std::uint64_t>(*real));
    } else if (const auto* text = std::get_if<std::string>(&value)) {
      practice::add_u64(bytes, text->size());
      bytes += *text;
    }
  }
  return bytes;
}

}  // namespace

std::vector<CopiedTable> tables_in(Session& session) {
  const char* const sql =
      session.on_server()
          ? "SELECT table_name::text, column_name::text, data_type::text FROM information_schema.columns WHERE "
            "table_schema = current_schema() ORDER BY table_name, ordinal_position"
          : "SELECT m.name, c.name, c.type FROM sqlite_master m JOIN pragma_table_info(m.name) c WHERE m.type = "
            "'table' AND m.name NOT LIKE 'sqlite_%' ORDER BY m.name, c.cid";
  std::vector<CopiedTable> tables;
  session.each(sql, {}, {ValueType::kText, ValueType::kText, ValueType::kText}, [&](const Values& row) {
    const auto& name = std::get<std::string>(row[0]);
    if (tables.empty() || tables.back().name != name) tables.push_back({name, {}, {}});
    tables.back().columns.push_back(std::get<std::string>(row[1]));
    tables.back().types.push_back(type_called(std::get<std::string>(row[2]), name));
  });
  return tables;
}

void copy_table(Session& from, Session& to, const CopiedTable& table) {
  to.run("DELETE FROM " + table.name);
  from.each(select(table), {}, table.types, [&](const Values& row) { to.insert(table.name, table.columns, row); });
}

TableHash hash_of(Session& file, const CopiedTable& table) {
  TableHash hash;
  practice::Digest chain{};
  file.each(select(table) + " ORDER BY rowid", {}, table.types, [&](const Values& row) {
    ++hash.rows;
    chain = practice::sha256({practice::bytes_of(chain), bytes_of_row(row)});
  });
  hash.sha256 = base::hex(chain);
  return hash;
}

}  // namespace throughcure::store
