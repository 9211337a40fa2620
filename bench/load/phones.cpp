// Phones that take checks, each one every second, against the program itself in a process of its own:
//   throughcure_phones --program build/bench/apps/throughcure/throughcure --folder DIR [--server CONNECTION]
// Makes invented records there where there are none. Says how long answers took from the moment that each check was
// due to be sent, so that one that had to wait behind another counts its wait. Exit status 1 when a check was
// refused, lost or kept twice.
#include <algorithm>
#include <array>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>
#include <optional>
#include <regex>
#include <set>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include <CLI/CLI.hpp>
#include <boost/asio.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "invented_records.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/service/data_folder.hpp"
#include "throughcure/service/sessions.hpp"

namespace throughcure::bench {
namespace {

namespace net = boost::asio;
namespace http = boost::beast::http;
using Clock = std::chrono::steady_clock;

struct Options {
  std::string program;
  std::string folder;
  std::string server;
  RecordsSize size;
  int seconds = 60;
  int wait_s = 15;       ///< after the start, when it reads its lights
  bool pages = false;    ///< the page of the day and the lists too, before the load and after it
  bool in_step = false;  ///< all phones at the same instant, else evenly over the second
};

/// `throughcure serve`, from start to end.
class Served {
 public:
  explicit Served(const Options& options) {
    std::vector<std::string> words{options.program, "serve", "--port", "0", "--data", options.folder};
    if (!options.server.empty()) words.insert(words.end(), {"--server", options.server});
    std::vector<char*> pointers;
    pointers.reserve(words.size() + 1);
    for (std::string& word : words) pointers.push_back(word.data());
    pointers.push_back(nullptr);
    std::array<int, 2> pipe{};
    if (::pipe(pipe.data()) != 0) throw std::runtime_error("no pipe");
    process_ = ::fork();
    if (process_ == 0) {
      ::dup2(pipe[1], STDOUT_FILENO);
      ::close(pipe[0]);
      ::close(pipe[1]);
      ::execv(pointers[0], pointers.data());
      ::_exit(127);
    }
    ::close(pipe[1]);
    port_ = port_said_in(pipe[0]);
  }
  Served(const Served&) = delete;
  Served& operator=(const Served&) = delete;
  ~Served() { stop(); }

  [[nodiscard]] const std::string& port() const { return port_; }

  /// A line of /proc/PID/status: "VmHWM", "VmRSS" [kB].
  [[nodiscard]] long status_kb(const std::string& name) const {
    std::ifstream status("/proc/" + std::to_string(process_) + "/status");
    for (std::string line; std::getline(status, line);) {
      if (line.starts_with(name + ":")) return std::stol(line.substr(name.size() + 1));
    }
    return 0;
  }

  /// CPU seconds that it took, once it has ended.
  double stop() {
    if (process_ <= 0) return 0;
    ::kill(process_, SIGTERM);
    rusage used{};
    ::wait4(process_, nullptr, 0, &used);
    process_ = -1;
    const auto seconds = [](const timeval& t) {
      return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
    };
    return seconds(used.ru_utime) + seconds(used.ru_stime);
  }

 private:
  static std::string port_said_in(int pipe) {
    std::string said;
    std::smatch found;
    std::array<char, 512> piece{};
    while (!std::regex_search(said, found, std::regex("http://127\\.0\\.0\\.1:([0-9]+)/\n"))) {
      const auto bytes = ::read(pipe, piece.data(), piece.size());
      if (bytes <= 0) throw std::runtime_error("the program did not start: " + said);
      said.append(piece.data(), static_cast<std::size_t>(bytes));
    }
    return found[1];
  }

  pid_t process_ = -1;
  std::string port_;
};

/// One connection that is kept.
class Line {
 public:
  Line(const std::string& port, const SignedIn& browser) : port_(port), browser_(browser), stream_(context_) {
    stream_.connect({net::ip::make_address("127.0.0.1"), static_cast<std::uint16_t>(std::stoi(port))});
    stream_.socket().set_option(net::ip::tcp::no_delay(true));
  }

  http::response<http::string_body> ask(http::verb verb, const std::string& target, const std::string& body = {},
                                        const std::string& key = {}) {
    const std::string host = "127.0.0.1:" + port_;
    http::request<http::string_body> request{verb, target, 11, body};
    request.set(http::field::host, host);
    request.set(http::field::origin, "http://" + host);
    request.set(http::field::cookie, "throughcure_" + port_ + "=" + browser_.cookie);
    request.set("x-throughcure-token", browser_.page_token);
    if (!key.empty()) request.set("idempotency-key", key);
    request.prepare_payload();
    http::write(stream_, request);
    http::response_parser<http::string_body> parser;
    parser.body_limit(std::uint64_t{1} << 30U);
    http::read(stream_, buffer_, parser);
    return parser.release();
  }

 private:
  std::string port_;
  SignedIn browser_;
  net::io_context context_;
  boost::beast::tcp_stream stream_;
  boost::beast::flat_buffer buffer_;
};

double ms_since(Clock::time_point start) {
  return std::chrono::duration<double, std::milli>(Clock::now() - start).count();
}

/// What one phone saw.
struct Seen {
  std::vector<double> ms;
  std::set<std::string> readings;  ///< as they were answered
  int refused = 0;
};

std::string body_of(const CheckedLight& light, int second) {
  return R"({"light":)" + std::to_string(light.light.number) + R"(,"tip":)" + std::to_string(light.tip.number) +
         R"(,"radiometer":)" + std::to_string(light.radiometer.number) + R"(,"room":)" +
         std::to_string(light.room.number) + R"(,"taken_at":")" + base::instant_text(service::system_now()) +
         R"(","mode":"standard","shown_mw_cm2":)" + std::to_string(890 + (7 * second) % 30) +
         R"(,"second_of_press":5,"barrier_on":false,"tip_clean":true,"battery":1,"purpose":"check"})";
}

Seen work(Line& line, std::size_t phone, const std::vector<CheckedLight>& lights, Clock::time_point begin,
          const Options& options, const std::string& run) {
  Seen seen;
  for (int second = 0; second < options.seconds; ++second) {
    const Clock::time_point due = begin + std::chrono::seconds(second);
    std::this_thread::sleep_until(due);
    const auto which = phone + options.size.phones * static_cast<std::size_t>(second);
    const std::string key = run + "-" + std::to_string(phone) + "-" + std::to_string(second);
    const auto response =
        line.ask(http::verb::post, "/api/checks", body_of(lights[which % lights.size()], second), key);
    seen.ms.push_back(ms_since(due));
    std::smatch reading;
    if (response.result_int() == 201 &&
        std::regex_search(response.body(), reading, std::regex("\"reading\":([0-9]+)"))) {
      seen.readings.insert(reading[1]);
    } else {
      if (seen.refused == 0) std::cerr << response.result_int() << ' ' << response.body();
      ++seen.refused;
    }
  }
  return seen;
}

std::size_t readings_in(store::Store& records) {
  std::size_t count = 0;
  records.read([&](const store::Reader& reader) {
    const auto newest = reader.list<fleet::ReadingEntry>({.where = {}, .order_by = {}, .descending = true, .limit = 1});
    count = newest.empty() ? 0 : static_cast<std::size_t>(newest.front().id.number);
  });
  return count;
}

/// The page of the day and the lists, three times each.
void ask_pages(const Served& served, const SignedIn& lead) {
  Line line(served.port(), lead);
  for (const char* target :
       {"/api/today", "/api/fleet", "/api/check-sheet", "/api/fleet/1", "/api/look-backs", "/api/look-backs/1"}) {
    std::printf("%-18s", target);
    std::size_t bytes = 0;
    for (int time = 0; time < 3; ++time) {
      const Clock::time_point start = Clock::now();
      const auto response = line.ask(http::verb::get, target);
      if (response.result_int() != 200) std::cerr << response.result_int() << ' ' << response.body();
      bytes = response.body().size();
      std::printf(" %9.1f ms", ms_since(start));
      std::fflush(stdout);
    }
    std::printf("   %zu bytes, resident %ld MB\n", bytes, served.status_kb("VmRSS") / 1024);
  }
}

std::string load_average() {
  std::ifstream file("/proc/loadavg");
  std::string text;
  std::getline(file, text);
  return text;
}

int run(const Options& options) {
  const std::filesystem::path folder = options.folder;
  service::open_data_folder(folder, service::FolderKind::practice, {});
  const store::Place place =
      options.server.empty() ? store::Place(store::InFile{folder / "records.db"}) : store::OnServer{options.server};
  store::Store records(place);
  const base::Instant now = service::system_now();
  const Clock::time_point making = Clock::now();
  invent_records(records, options.size, now);
  std::printf("records there after %.0f s\n", ms_since(making) / 1000);
  // The backup of the day is not what is measured here: one of today is there already.
  std::filesystem::create_directories(folder / "backups");
  base::write_file(folder / "backups" / (base::instant_text(now).substr(0, 10) + ".backup"), "");
  const std::vector<CheckedLight> lights = lights_in_use(records);
  std::vector<SignedIn> phones;
  phones.reserve(options.size.phones);
  for (std::size_t i = 0; i < options.size.phones; ++i) phones.push_back(sign_in(records, account_of_phone(i), now));
  const SignedIn lead = sign_in(records, kLeadAccount, now);
  const std::size_t before = readings_in(records);

  Served served(options);
  std::printf("started: resident %ld MB, load average %s\n", served.status_kb("VmRSS") / 1024, load_average().c_str());
  const std::string key = "run-" + std::to_string(now.us);
  if (options.pages) ask_pages(served, lead);
  std::this_thread::sleep_for(std::chrono::seconds(options.wait_s));

  std::vector<std::unique_ptr<Line>> lines;
  lines.reserve(phones.size());
  for (const SignedIn& phone : phones) lines.push_back(std::make_unique<Line>(served.port(), phone));
  std::vector<Seen> seen(phones.size());
  {
    const Clock::time_point begin = Clock::now() + std::chrono::seconds(1);
    std::vector<std::jthread> threads;
    for (std::size_t i = 0; i < phones.size(); ++i) {
      const auto offset =
          options.in_step ? std::chrono::nanoseconds(0) : std::chrono::nanoseconds(1'000'000'000 * i / phones.size());
      threads.emplace_back([&, i, offset] { seen[i] = work(*lines[i], i, lights, begin + offset, options, key); });
    }
  }
  const long peak_kb = served.status_kb("VmHWM");
  std::printf("after the load: resident %ld MB, load average %s\n", served.status_kb("VmRSS") / 1024,
              load_average().c_str());
  lines.clear();
  if (options.pages) ask_pages(served, lead);
  const long peak_with_pages_kb = served.status_kb("VmHWM");
  const double cpu_s = served.stop();

  std::vector<double> ms;
  std::set<std::string> answered;
  int refused = 0;
  for (const Seen& one : seen) {
    ms.insert(ms.end(), one.ms.begin(), one.ms.end());
    answered.insert(one.readings.begin(), one.readings.end());
    refused += one.refused;
  }
  std::ranges::sort(ms);
  const auto at = [&](double share) {
    return ms[static_cast<std::size_t>(share * static_cast<double>(ms.size() - 1))];
  };
  const std::size_t found = readings_in(records) - before;
  std::printf("%zu phones, %d s, %s: p50 %.1f ms, p90 %.1f, p99 %.1f, max %.1f\n", phones.size(), options.seconds,
              options.in_step ? "in step" : "spread over the second", at(0.5), at(0.9), at(0.99), ms.back());
  std::printf("%zu sent, %d refused, %zu distinct answered, %zu more readings in the records\n", ms.size(), refused,
              answered.size(), found);
  std::printf("peak resident %ld MB (with the pages again %ld MB), CPU of the program %.1f s in all\n", peak_kb / 1024,
              peak_with_pages_kb / 1024, cpu_s);
  return refused == 0 && answered.size() == ms.size() && found == ms.size() ? 0 : 1;
}

}  // namespace
}  // namespace throughcure::bench

int main(int argc, char** argv) try {
  throughcure::bench::Options options;
  CLI::App app("Phones that take checks, against the program in a process of its own");
  app.add_option("--program", options.program, "the program to start")->required();
  app.add_option("--folder", options.folder, "the practice's folder; made and filled where there is none")->required();
  app.add_option("--server", options.server, "connection string of a PostgreSQL database, instead of the folder");
  app.add_option("--phones", options.size.phones, "how many")->capture_default_str();
  app.add_option("--seconds", options.seconds, "for how long")->capture_default_str();
  app.add_option("--lights", options.size.lights, "in new records")->capture_default_str();
  app.add_option("--readings", options.size.readings, "in new records")->capture_default_str();
  app.add_option("--restorations", options.size.restorations, "in new records, all in one look-back")
      ->capture_default_str();
  app.add_flag("--in-step", options.in_step, "all phones at the same instant, not evenly over the second");
  app.add_option("--wait", options.wait_s, "seconds after the start, in which the program reads its lights")
      ->capture_default_str();
  app.add_flag("--pages", options.pages, "ask for the page of the day and the lists too, before and after");
  CLI11_PARSE(app, argc, argv);
  return throughcure::bench::run(options);
} catch (const std::exception& error) {
  std::cerr << error.what() << '\n';
  return 2;
}
