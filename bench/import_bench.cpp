// A spreadsheet of 100,000 invented readings: understood, and kept in a fresh file of records.
#include <array>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>
#include <stdlib.h>

#include "contest.hpp"
#include "throughcure/base/given.hpp"
#include "throughcure/desk/import.hpp"
#include "throughcure/exchange/sheet.hpp"
#include "throughcure/practice/person.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::bench {
namespace {

constexpr std::size_t kReadings = 100'000;
constexpr std::size_t kLights = 20;
constexpr std::size_t kAtOnce = 1000;  // readings of a transaction, of the alternative
constexpr base::Instant kNow{1'767'600'000'000'000};

/// A folder that goes when it does.
class Folder {
 public:
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "import_bench_XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

/// An invented practice with its lights, each with a tip.
store::Store practice_in(const Folder& folder) {
  store::Store records(store::InFile{folder.path() / "records.db"});
  records.write({"program", kNow}, [](store::Writer& writer) {
    const auto site = writer.add(practice::Site{"Harbour street", "Europe/Lisbon"});
    const auto room = writer.add(practice::Room{.site = site, .name = "Room 1"});
    writer.add(practice::Person{"Marta Vint", practice::Role::kLead, site, true, true});
    writer.add(fleet::RadiometerEntry{"Meter", "R-7", 8.0, {}});
    for (std::size_t i = 0; i < kLights; ++i) {
      fleet::LightEntry light;
      light.room = room;
      light.name = "Lamp " + std::to_string(i);
      light.serial = "K-" + std::to_string(i);
      light.check_mode = "standard";
      writer.add(fleet::TipEntry{writer.add(light), "8 mm", 8});
    }
  });
  return records;
}

desk::Importer importer() {
  return {.member = {.account = {1},
                     .person = {1},
                     .name = "Marta Vint",
                     .role = practice::Role::kLead,
                     .site = {1},
                     .everywhere = true},
          .now = kNow};
}

/// A reading of one light after the other, a minute apart from 2025-01-01 on; nights of changing clocks left out.
std::string log_text() {
  std::string text = "Date;Light;Reading (mW/cm\u00b2);Radiometer;Taken by;Tip clean;Barrier;Note\r\n";
  constexpr std::size_t per_day = 500;
  for (std::size_t i = 0; i < kReadings; ++i) {
    const auto date = std::chrono::year_month_day{std::chrono::sys_days{std::chrono::year{2025} / 1 / 1} +
                                                  std::chrono::days{static_cast<int>(i / per_day)}};
    const auto minute = static_cast<unsigned>(std::size_t{6} * 60 + i % per_day);
    std::array<char, 160> line{};
    (void)std::snprintf(line.data(), line.size(), "%u.%u.%d %02u:%02u;Lamp %zu;1.%03zu,5;R-7;Marta Vint;yes;no;\r\n",
                        static_cast<unsigned>(date.day()), static_cast<unsigned>(date.month()),
                        static_cast<int>(date.year()), minute / 60, minute % 60, i % kLights, i % 97);
    text += line.data();
  }
  return text;
}

exchange::Sheet sheet_of(const std::string& text) {
  base::Problems problems;
  auto sheet = exchange::read_sheet(text, "log.csv", problems);
  base::refuse_if_any(problems);
  return base::given(std::move(sheet));
}

/// From the file's bytes to what it would become, against its cells only taken apart.
void understand_log(benchmark::State& state) {
  const std::string text = log_text();
  const Folder folder;
  store::Store records = practice_in(folder);
  std::size_t accepted = 0;
  std::size_t rows = 0;
  contest(
      state, {kReadings, kReadings},
      [&](std::uint64_t) {
        records.read([&](const store::Reader& reader) {
          accepted = desk::preview_import(reader, sheet_of(text), {}, importer()).accepted;
        });
      },
      [&](std::uint64_t) { rows = sheet_of(text).rows(); });
  if (accepted != kReadings || rows != kReadings) state.SkipWithError("not every reading was understood");
}
BENCHMARK(understand_log)->Iterations(5)->UseManualTime()->Unit(benchmark::kMillisecond);

/// From the file's bytes to the records, all in one transaction, against the same readings, known already, added in a
/// transaction for every thousand.
void import_log(benchmark::State& state) {
  const std::string text = log_text();
  std::vector<fleet::ReadingEntry> known;
  std::uint64_t ours = 0;
  std::uint64_t other = 0;
  double wall_s = 0;
  contest(
      state, {kReadings, kReadings},
      [&](std::uint64_t) {
        const Folder folder;
        store::Store records = practice_in(folder);
        const auto start = std::chrono::steady_clock::now();
        records.write({"1", kNow},
                      [&](store::Writer& writer) { (void)desk::keep_import(writer, sheet_of(text), {}, importer()); });
        wall_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
        records.read([&](const store::Reader& reader) {
          ours = reader.edge().size();
          if (known.empty()) {
            for (const auto& kept :
                 reader.list<fleet::ReadingEntry>({.where = {}, .order_by = {}, .limit = kReadings})) {
              known.push_back(kept.record);
            }
          }
        });
      },
      [&](std::uint64_t) {
        const Folder folder;
        store::Store records = practice_in(folder);
        for (std::size_t from = 0; from < known.size(); from += kAtOnce) {
          records.write({"1", kNow}, [&](store::Writer& writer) {
            for (std::size_t i = from; i < from + kAtOnce; ++i) writer.add(known[i]);
          });
        }
        records.read([&](const store::Reader& reader) { other = reader.edge().size(); });
      });
  state.counters["wall_s"] = wall_s;
  if (ours != other || known.size() != kReadings) state.SkipWithError("not every reading was kept");
}
BENCHMARK(import_log)->Iterations(3)->UseManualTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace throughcure::bench
