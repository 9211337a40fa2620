// What the records hold already of what an import brings, and what came earlier in the same file.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <utility>

#include "throughcure/desk/import_rows.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

enum class Held : std::uint8_t {
  kNew,
  kAlready,  ///< the same is in the records, or stands earlier in the file
  kOther     ///< something of that number is, and says otherwise: told in the cells
};

/// The same is: a reading of the same light, tip, radiometer, instant and value; a restoration with the same chart
/// number, tooth, instant and light; a light or radiometer with the same serial number and name; a lot of the
/// same material with the same number and day.
class HeldRecords {
 public:
  /// Both must outlive it.
  HeldRecords(const store::Reader& reader, const ImportBook& book);

  /// Counts the record as there from now on.
  [[nodiscard]] Held take(const ImportedRecord& record, ImportCells& cells);

 private:
  using ReadingKey = std::tuple<std::int64_t, std::int64_t, std::int64_t, std::int64_t, double>;
  using RestorationKey = std::tuple<std::int64_t, std::int64_t, std::string, std::string>;

  using LotKey = std::pair<std::string, std::string>;  ///< the material, and the lot's number

  Held take(const fleet::ReadingEntry& reading);
  Held take(const practice::Restoration& restoration);
  Held take(const NewLot& lot, ImportCells& cells);
  void read_lots();
  Held take_serial(const std::string& serial, const std::string& name, ImportCells& cells);
  /// Calls `take` with the values of all records of a table that are of a light.
  template <class Take>
  void each_of_light(const store::Table& table, base::LightId light, const Take& take) const;

  const store::Reader& reader_;
  const ImportBook& book_;
  std::set<std::int64_t> lights_read_;
  std::set<ReadingKey> readings_;
  std::set<RestorationKey> restorations_;
  std::map<std::string, std::string> names_by_serial_;
  bool serials_read_ = false;
  std::map<std::string, practice::MaterialEntry> materials_;  ///< as the rows before named them
  std::map<LotKey, std::optional<base::Instant>> expiries_by_lot_;
  bool lots_read_ = false;
};

}  // namespace throughcure::desk
