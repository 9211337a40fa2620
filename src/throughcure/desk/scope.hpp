// Which site a record belongs to: what a person may see and change hangs on it.
#pragma once

#include <map>
#include <optional>
#include <string_view>
#include <vector>

#include "throughcure/practice/member.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// Rooms and lights of the moment, read once.
class Places {
 public:
  explicit Places(const store::Reader& reader);

  /// The site of a record by its values; number 0: it belongs to no site, and so to all (a material, a radiometer).
  [[nodiscard]] base::SiteId site_of(const store::Table& table, const std::vector<base::Value>& values) const;
  [[nodiscard]] base::SiteId site_of(base::RoomId room) const;
  [[nodiscard]] base::SiteId site_of(base::LightId light) const;
  /// Of a restoration: where it was made, and where that was not kept the site of its light.
  [[nodiscard]] base::SiteId site_of(std::optional<base::RoomId> made_in, base::LightId light) const;
  /// All there are, by number.
  [[nodiscard]] std::vector<base::LightId> lights() const;

 private:
  [[nodiscard]] base::SiteId site_of_record(std::string_view kind, std::int64_t number) const;
  const store::Reader* reader_;
  std::map<std::int64_t, std::int64_t> rooms_;   ///< to their sites
  std::map<std::int64_t, std::int64_t> lights_;  ///< to their rooms
};

/// The table of a kind by its name; null: there is none.
const store::Table* table_called(std::string_view kind);

/// Whether a change of the log began a record. One that filled in what stood empty has nothing before it either, but
/// names no field that every record of its kind has.
bool begins_a_record(const practice::Change& change);

/// Somebody may not do this, or not there (HTTP 403).
class Forbidden : public std::exception {
 public:
  explicit Forbidden(std::string text) : text_(std::move(text)) {}
  [[nodiscard]] const char* what() const noexcept override { return text_.c_str(); }

 private:
  std::string text_;
};

/// What was asked for is not there, or not for this person to see (HTTP 404).
class Missing : public std::exception {
 public:
  explicit Missing(std::string text) : text_(std::move(text)) {}
  [[nodiscard]] const char* what() const noexcept override { return text_.c_str(); }

 private:
  std::string text_;
};

}  // namespace throughcure::desk
