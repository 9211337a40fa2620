#include "throughcure/desk/record_rules.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string>

#include "throughcure/base/number_text.hpp"
#include "throughcure/base/utf8.hpp"
#include "throughcure/desk/local_day.hpp"

namespace throughcure::desk {

namespace {

constexpr double kNoLimit = std::numeric_limits<double>::infinity();

struct Range {
  std::string_view column;
  double least;
  double most;
};

constexpr std::array<Range, 22> kRanges = {{{"claimed_mw_cm2", 50, 20000},
                                            {"shown_mw_cm2", 0, 20000},
                                            {"through_mw_cm2", 0, 20000},
                                            {"bare_mw_cm2", 1, 20000},
                                            {"diameter_mm", 1, 30},
                                            {"aperture_mm", 1, 50},
                                            {"mould_diameter_mm", 1, 20},
                                            {"thickness_mm", 0.1, 20},
                                            {"left_mm", 0, 30},
                                            {"seconds", 0.1, 600},
                                            {"second_of_press", 0, 600},
                                            {"ifu_seconds", 0.1, 600},
                                            {"ifu_increment_mm", 0.1, 20},
                                            {"pass", 0.01, 1},
                                            {"pass_sd", 0, 0.5},
                                            {"barrier_pass", 0.01, 1},
                                            {"battery", 0, 1},
                                            {"expanded_uncertainty", 0.0001, 1},
                                            {"probability", 0, 1},
                                            {"chance_under_cured", 0, 1},
                                            {"check_every_days", 1, 92},
                                            {"number", -kNoLimit, kNoLimit}}};

constexpr std::size_t kMostName = 200;                         // bytes
constexpr std::size_t kMostFreeText = 4000;                    // bytes
constexpr std::size_t kMostDocument = std::size_t{96} * 1024;  // bytes: a leaf of the log holds 128 KiB
constexpr base::Instant kEarliest{631'152'000'000'000};        // 1990: no light of today is older
constexpr base::Instant kLatest{4'102'444'800'000'000};        // 2100

std::size_t most_bytes(std::string_view column) {
  if (column == "note" || column == "reason" || column == "source" || column == "refused_because" ||
      column == "told_limits") {
    return kMostFreeText;
  }
  return column == "resolved_case" ? kMostDocument : kMostName;
}

struct SetByAct {
  std::string_view kind;
  std::string_view column;
  std::string_view remedy;
};

constexpr std::string_view kActsOfLight = "Accept, refuse, withdraw or return the light";
constexpr std::string_view kAnotherCheck = "Take the check again";
constexpr std::string_view kLightAndTime = "Correct its light, or when it was placed: its room follows from them";
constexpr std::string_view kWorkedOut = "Record it from its plan: the program works it out and keeps it as it was then";
constexpr std::array<SetByAct, 15> kSetByActs = {{{"light", "accepted_at", kActsOfLight},
                                                  {"light", "withdrawn_at", kActsOfLight},
                                                  {"light", "refused_because", kActsOfLight},
                                                  {"reading", "arrived_at", kAnotherCheck},
                                                  {"reading", "taken_by", kAnotherCheck},
                                                  {"reading", "light", kAnotherCheck},
                                                  {"reading", "told", kAnotherCheck},
                                                  {"reading", "told_share", kAnotherCheck},
                                                  {"reading", "told_baseline_mw_cm2", kAnotherCheck},
                                                  {"reading", "told_limits", kAnotherCheck},
                                                  {"restoration", "room", kLightAndTime},
                                                  {"restoration", "resolved_case", kWorkedOut},
                                                  {"restoration", "probability", kWorkedOut},
                                                  {"restoration", "seed", kWorkedOut},
                                                  {"restoration", "engine", kWorkedOut}}};

/// Texts by which people tell records apart.
bool must_say_something(std::string_view column) {
  constexpr std::array<std::string_view, 9> named = {"name",   "serial",       "number", "issued_by", "chart",
                                                     "reason", "sign_in_name", "tooth",  "mode"};
  return std::ranges::find(named, column) != named.end();
}

class Rules {
 public:
  explicit Rules(const store::Table& table) : kind_(table.kind) {}

  void check(const base::Column& column, const base::Value& value) {
    if (const auto* text = std::get_if<std::string>(&value)) check_text(column, *text);
    if (const auto* real = std::get_if<double>(&value)) check_number(column, *real);
    const auto* const whole = std::get_if<std::int64_t>(&value);
    if (whole == nullptr) return;
    if (column.meaning == base::Meaning::kInstant) {
      check_instant(column, {*whole});
    } else if (column.meaning == base::Meaning::kPlain && column.refers_to.empty()) {
      check_number(column, static_cast<double>(*whole));
    }
  }

  [[nodiscard]] base::Problems problems() const { return problems_; }

 private:
  void add(const base::Column& column, std::string what, std::string remedy) {
    problems_.push_back({.file = std::string(kind_),
                         .field = std::string(column.name),
                         .what = std::move(what),
                         .remedy = std::move(remedy)});
  }

  void check_text(const base::Column& column, const std::string& text) {
    if (text.size() > most_bytes(column.name)) {
      add(column,
          "it has " + std::to_string(text.size()) + " bytes, and " + std::to_string(most_bytes(column.name)) +
              " is the most",
          "Say it in fewer words");
    }
    if (!base::is_utf8(text)) add(column, "it is no text (not UTF-8)", "Type it again");
    const bool odd = std::ranges::any_of(text, [](char c) {
      const auto byte = static_cast<unsigned char>(c);
      return (byte < 0x20 && c != '\n' && c != '\t') || byte == 0x7f;
    });
    if (odd) add(column, "it holds a control character", "Type it again");
    const bool blank = text.find_first_not_of(" \t\n") == std::string::npos;
    if (blank && (must_say_something(column.name) || column.optional)) {
      add(column, "it is empty", column.optional ? "Say something, or leave it out" : "Say something");
    }
    if (column.name == "time_zone" && !is_time_zone(text)) {
      add(column, "\"" + text + "\" is no time zone", "Name one as IANA does: \"Europe/Lisbon\"");
    }
  }

  void check_number(const base::Column& column, double number) {
    const auto* const range = std::ranges::find(kRanges, column.name, &Range::column);
    const double least = range == kRanges.end() ? -kNoLimit : range->least;
    const double most = range == kRanges.end() ? kNoLimit : range->most;
    if (std::isfinite(number) && number >= least && number <= most) return;
    add(column,
        base::number_text(number) + " is not between " + base::number_text(least) + " and " + base::number_text(most),
        "Give a number between them, in the unit that the field names");
  }

  void check_instant(const base::Column& column, base::Instant at) {
    if (at >= kEarliest && at <= kLatest) return;
    add(column, "that is no time at which this can have been", "Give a day between 1990 and 2100");
  }

  std::string_view kind_;
  base::Problems problems_;
};

}  // namespace

base::Problems record_problems(const store::Table& table, const std::vector<base::Value>& values) {
  Rules rules(table);
  for (std::size_t i = 0; i < table.columns.size() && i < values.size(); ++i) rules.check(table.columns[i], values[i]);
  return rules.problems();
}

base::Problems act_problems(const store::Table& table, const std::vector<base::Value>* before,
                            const std::vector<base::Value>& after) {
  base::Problems problems;
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    const std::string_view column = table.columns[i].name;
    const auto* const act = std::ranges::find_if(
        kSetByActs, [&](const SetByAct& one) { return one.kind == table.kind && one.column == column; });
    if (act == kSetByActs.end() || after[i] == (before == nullptr ? base::Value{} : (*before)[i])) continue;
    problems.push_back({.file = {},
                        .field = std::string(column),
                        .what = "this is not changed by hand",
                        .remedy = std::string(act->remedy)});
  }
  return problems;
}

}  // namespace throughcure::desk
