// The notations in which a document comes, and what a table is called in each: a remedy is to be typed as it stands.
#pragma once

#include <cstdint>
#include <string>

namespace throughcure::exchange {

enum class Notation : std::uint8_t { kToml, kJson };

/// One table: "a table, [view]"; of JSON: an object, "view". `field` is its dotted path.
std::string table_words(Notation notation, const std::string& field);

/// An array of tables: "tables, each under [[exposure]]"; of JSON: an array of objects, "exposure".
std::string tables_words(Notation notation, const std::string& field);

}  // namespace throughcure::exchange
