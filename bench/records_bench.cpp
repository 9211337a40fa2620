// The records at size: 200 lights, a million readings, a look-back of 100,000 restorations. Made in a temporary folder,
// or kept in the one that THROUGHCURE_BENCH_RECORDS names; in the database of THROUGHCURE_BENCH_POSTGRESQL (a
// connection string) as well, where that is given.
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <future>
#include <map>
#include <memory>
#include <stdexcept>
#include <string>

#include <benchmark/benchmark.h>
#include <unistd.h>

#include "contest.hpp"
#include "invented_records.hpp"
#include "throughcure/base/given.hpp"
#include "throughcure/desk/checks.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/desk/today.hpp"
#include "throughcure/exchange/knowledge.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/look_back.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/service/jobs.hpp"
#include "throughcure/service/practice_desk.hpp"
#include "throughcure/service/site.hpp"

namespace throughcure::bench {
namespace {

const char* variable(const char* name) {
  // NOLINTNEXTLINE(concurrency-mt-unsafe): nothing in this program changes the environment
  return std::getenv(name);
}

/// A folder for the records, gone with the program unless somebody named it.
class Folder {
 public:
  Folder() {
    if (const char* const named = variable("THROUGHCURE_BENCH_RECORDS")) {
      path_ = named;
      kept_ = true;
      std::filesystem::create_directories(path_);
      return;
    }
    std::string made = (std::filesystem::temp_directory_path() / "throughcure-bench-XXXXXX").string();
    if (::mkdtemp(made.data()) == nullptr) throw std::runtime_error("no folder for the records");
    path_ = made;
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() {
    std::error_code ignored;
    if (!kept_) std::filesystem::remove_all(path_, ignored);
  }
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
  bool kept_ = false;
};

/// The practice in one database, served without a network.
class Practice {
 public:
  Practice(const store::Place& place, const std::filesystem::path& folder)
      : now_(service::system_now()), desk_(begun(place, now_), [this] { return now_; }) {
    service::SiteSettings settings;
    settings.reach.port = 8420;
    desk_.complete(settings);
    site_ = std::make_unique<service::Site>(
        settings, desk_.sessions(),
        desk_.routes(settings, std::make_shared<service::PlanRoom>(folder, exchange::knowledge()), jobs_));
    const service::NewSession made = desk_.sessions().open(lead_of(records()), {}, now_);
    cookie_ = "throughcure_8420=" + made.cookie;
  }

  /// The bytes of an answer.
  std::string get(const std::string& target) {
    service::Request request{.method = service::Method::get, .target = target, .headers = {}, .body = {}};
    request.headers = {{"host", "127.0.0.1:8420"}, {"cookie", cookie_}};
    std::promise<service::Response> answered;
    site_->answer(std::move(request), [&](service::Response response) { answered.set_value(std::move(response)); });
    const service::Response response = answered.get_future().get();
    if (response.status != 200) throw std::runtime_error(target + ": " + response.body);
    return response.body;
  }

  store::Store& records() { return desk_.records(); }
  desk::LightCache& lights() { return lights_; }
  [[nodiscard]] base::Instant now() const { return now_; }

 private:
  static store::Place begun(const store::Place& place, base::Instant now) {
    store::Store records(place);
    invent_records(records, {}, now);
    return place;
  }
  base::Instant now_;
  service::Jobs jobs_;
  service::PracticeDesk desk_;
  std::unique_ptr<service::Site> site_;
  std::string cookie_;
  desk::LightCache lights_;
};

Practice& practice(bool on_server) {
  static const Folder folder;
  static std::map<bool, std::unique_ptr<Practice>> all;
  std::unique_ptr<Practice>& one = all[on_server];
  if (!one) {
    const store::Place place = on_server ? store::Place(store::OnServer{variable("THROUGHCURE_BENCH_POSTGRESQL")})
                                         : store::InFile{folder.path() / "records.db"};
    one = std::make_unique<Practice>(place, folder.path());
  }
  return *one;
}

/// By the clock on the wall: the database works in a process of its own, or in the disk.
template <class Ours, class Other>
void contest_by_the_wall(benchmark::State& state, double ours_of, double other_of, const Ours& ours,
                         const Other& other) {
  const auto seconds_of = [](const auto& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  };
  std::vector<double> ms;
  std::vector<double> other_ms;
  for (auto _ : state) {
    const double s = seconds_of(ours);
    state.SetIterationTime(s);
    ms.push_back(1e3 * s / ours_of);
    other_ms.push_back(1e3 * seconds_of(other) / other_of);
  }
  state.counters["ms"] = median(ms);
  state.counters["other_ms"] = median(other_ms);
  state.counters["times"] = median(other_ms) / median(ms);
}

/// The page of the day from lights that are remembered, against one for which every reading is read.
void today(benchmark::State& state, bool on_server) {
  Practice& p = practice(on_server);
  const practice::Member lead = lead_of(p.records());
  const auto sentence = [&](desk::LightCache* lights) {
    std::string said;
    p.records().read([&](const store::Reader& reader) {
      desk::LightsNow now(reader, lights);
      said = desk::today(now, lead, p.now()).sentence;
    });
    return said;
  };
  std::string ours = sentence(&p.lights());
  std::string other;
  contest_by_the_wall(state, 1, 1, [&] { ours = sentence(&p.lights()); }, [&] { other = sentence(nullptr); });
  if (ours != other || ours.empty()) state.SkipWithError("the two pages differ");
}

/// The list of lights likewise.
void light_list(benchmark::State& state, bool on_server) {
  Practice& p = practice(on_server);
  const auto outputs = [&](desk::LightCache* lights) {
    double sum = 0;
    p.records().read([&](const store::Reader& reader) {
      desk::LightsNow now(reader, lights);
      for (const base::LightId light : desk::Places(reader).lights()) {
        sum += now.line(light, p.now()).output.today.p50;
      }
    });
    return sum;
  };
  double ours = outputs(&p.lights());
  double other = 0;
  contest_by_the_wall(state, 1, 1, [&] { ours = outputs(&p.lights()); }, [&] { other = outputs(nullptr); });
  state.counters["mw_cm2"] = ours / 200;
  if (ours != other) state.SkipWithError("the two lists differ");
}

/// A check taken in and judged, in a transaction of its own on the disk, against one that reads the light's readings.
void one_check(benchmark::State& state, bool on_server) {
  Practice& p = practice(on_server);
  constexpr int kEach = 20;
  const auto lights = lights_in_use(p.records());
  const practice::Member lead = lead_of(p.records());
  std::size_t taken = 0;
  std::size_t judged = 0;
  const auto take = [&](desk::LightCache* remembered) {
    for (int i = 0; i < kEach; ++i) {
      const CheckedLight& light = lights[taken++ % lights.size()];
      const base::Instant now = service::system_now();
      p.records().write({"1", now}, [&](store::Writer& writer) {
        const auto answer = desk::take_check(writer,
                                             {.light = light.light,
                                              .tip = light.tip,
                                              .radiometer = light.radiometer,
                                              .room = light.room,
                                              .taken_by = lead.person,
                                              .taken_at = now,
                                              .arrived_at = now,
                                              .mode = "standard",
                                              .shown_mw_cm2 = 900,
                                              .second_of_press = 5.0,
                                              .barrier_on = false,
                                              .tip_clean = true,
                                              .battery = 1.0,
                                              .note = {}},
                                             lead, now, remembered);
        if (answer.share) ++judged;
      });
    }
  };
  contest_by_the_wall(state, kEach, kEach, [&] { take(&p.lights()); }, [&] { take(nullptr); });
  if (judged != taken) state.SkipWithError("a check was not judged");
}

/// Every restoration of the look-back, read whole.
std::size_t read_whole(const store::Reader& reader) {
  const auto head = base::given(reader.get<practice::LookBack>({1}));
  return reader
      .list<practice::Restoration>({.where = {{"light", store::Compare::kEqual, head.record.light.number}},
                                    .order_by = "placed_at",
                                    .limit = 1'000'000})
      .size();
}

/// The worst 100 of a look-back of 100,000 restorations as its page is answered, against its restorations only read,
/// whole.
void look_back_page(benchmark::State& state, bool on_server) {
  Practice& p = practice(on_server);
  std::string page;
  std::size_t read = 0;
  contest_by_the_wall(
      state, 1, 1, [&] { page = p.get("/api/look-backs/1?limit=100"); },
      [&] { p.records().read([&](const store::Reader& reader) { read = read_whole(reader); }); });
  state.counters["bytes"] = static_cast<double>(page.size());
  const bool counted = page.find(R"("counts":{"all":)" + std::to_string(read) + ",") != std::string::npos;
  if (read != RecordsSize().restorations || !counted) state.SkipWithError("restorations are missing");
}

/// How many it names and how many are decided, against all of them read to be counted.
void look_back_head(benchmark::State& state, bool on_server) {
  Practice& p = practice(on_server);
  std::size_t ours = 0;
  std::size_t other = 0;
  const auto look = [&](const auto& work) { p.records().read([&](const store::Reader& reader) { work(reader); }); };
  contest_by_the_wall(
      state, 1, 1,
      [&] {
        look([&](const store::Reader& reader) {
          ours = desk::counts_of(reader, base::given(reader.get<practice::LookBack>({1}))).restorations;
        });
      },
      [&] { look([&](const store::Reader& reader) { other = read_whole(reader); }); });
  if (ours != other || ours != RecordsSize().restorations) state.SkipWithError("the two counts differ");
}

void add(const std::string& name, int rounds, void (*work)(benchmark::State&, bool)) {
  const auto one = [&](const std::string& called, bool on_server) {
    benchmark::RegisterBenchmark(called.c_str(), [work, on_server](benchmark::State& state) { work(state, on_server); })
        ->Iterations(rounds)
        ->UseManualTime()
        ->Unit(benchmark::kMillisecond);
  };
  one(name + "/file", false);
  if (variable("THROUGHCURE_BENCH_POSTGRESQL") != nullptr) one(name + "/server", true);
}

[[maybe_unused]] const bool kAdded = [] {
  add("today", 3, today);
  add("light_list", 3, light_list);
  add("one_check", 5, one_check);
  add("look_back_page", 3, look_back_page);
  add("look_back_head", 5, look_back_head);
  return true;
}();

}  // namespace
}  // namespace throughcure::bench
