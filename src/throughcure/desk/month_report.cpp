#include "throughcure/desk/month_report.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <set>
#include <tuple>

#include "throughcure/base/given.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/look_back_share.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/desk/today.hpp"

namespace throughcure::desk {

namespace {

std::string counted(std::size_t count, const std::string& one, const std::string& many) {
  return count == 1 ? "One " + one : std::to_string(count) + " " + many;
}

std::string deed_words(fleet::Deed deed) {
  std::string words(base::Words<fleet::Deed>::words.at(static_cast<std::size_t>(deed)));
  std::ranges::replace(words, '_', ' ');
  return words;
}

practice::Change change_of(const store::Reader& reader, std::int64_t number) {
  return reader.changes(static_cast<std::uint64_t>(number), 1).at(0);
}

/// What one revision of a light says that the one before did not.
std::vector<std::string> acts_between(const fleet::LightEntry& before, const fleet::LightEntry& after) {
  std::vector<std::string> acts;
  if (!before.accepted_at && after.accepted_at) acts.emplace_back("accepted for use");
  if (!before.refused_because && after.refused_because) acts.emplace_back("refused");
  if (!before.withdrawn_at && after.withdrawn_at) acts.emplace_back("withdrawn");
  if (before.withdrawn_at && !after.withdrawn_at) acts.emplace_back("returned to use");
  return acts;
}

class Report {
 public:
  Report(const store::Reader& reader, const practice::Member& member, const LocalMonth& month, base::Instant now)
      : reader_(reader), member_(member), month_(month), now_(now), policy_(reader), names_(reader) {}

  /// Nothing of a light that came after the month.
  std::optional<LightMonth> light(base::LightId id) {
    const std::string zone = light_record(reader_, id).site.record.time_zone;
    const base::Instant until = known_until(month_, now_, zone);
    LightRecord record = light_record_at(reader_, id, until);
    const auto first = reader_.history<fleet::LightEntry>(id).front();
    const bool had_reading =
        std::ranges::any_of(record.history.readings, [&](const auto& one) { return one.at <= until; });
    if (!had_reading && change_of(reader_, first.change).at > until) return std::nullopt;
    LightMonth page{.view = light_view(std::move(record), policy_, until),
                    .until = until,
                    .sentence = {},
                    .band = {},
                    .checks = {},
                    .happenings = {},
                    .papers = {},
                    .missing = {}};
    page.sentence = first_sentence(page.view, until);
    page.band = output_band(page.view, until);
    const auto of_month = [&](const fleet::ReadingEntry& reading) { return is_in(month_, reading.taken_at, zone); };
    page.checks = check_rows(reader_, page.view.record, policy_, base::kLatestInstant, names_, of_month);
    page.happenings = happenings(id, page.view.record);
    page.papers = papers(page.view.record);
    if (!page.view.record.light.record.accepted_at) {
      page.missing = missing_for_acceptance(page.view.record, policy_, until);
    }
    return page;
  }

  std::vector<std::string> sentences(const MonthReport& report) {
    std::vector<std::string> all = {state_sentence(report)};
    std::vector<Overdue> overdue;
    std::vector<CheckRow> checks;
    for (const LightMonth& light : report.lights) {
      if (light.view.state.overdue) {
        overdue.push_back({light.view.record.light.record.name, light.view.state.overdue_days});
      }
      std::ranges::copy(light.checks, std::back_inserter(checks));
    }
    all.push_back(overdue_sentence(overdue, report.until, report.time_zone));
    all.push_back(count_sentence(checks));
    if (member_.role < practice::Role::kClinician) {
      all.emplace_back("Look-backs and decisions are told to clinicians and the lead.");
      return all;
    }
    all.push_back(look_back_sentence(report.until));
    all.push_back(decision_sentence(report.time_zone));
    return all;
  }

 private:
  /// A month that is over is told of as such.
  [[nodiscard]] std::string is(base::Instant until) const { return until < now_ ? "was " : "is "; }
  [[nodiscard]] std::string are(base::Instant until) const { return until < now_ ? "were " : "are "; }

  std::vector<Happening> happenings(base::LightId id, const LightRecord& record) {
    const std::string& zone = record.site.record.time_zone;
    std::vector<Happening> all;
    const auto add = [&](base::Instant at, const std::string& what, const std::string& by) {
      if (is_in(month_, at, zone)) all.push_back({at, local_text(at, zone), what, by});
    };
    for (const auto& event : record.servicing) {
      add(event.record.at, deed_words(event.record.what) + room_words(event.record), names_.of(event.record.told_by));
    }
    const auto revisions = reader_.history<fleet::LightEntry>(id);
    for (std::size_t i = 1; i < revisions.size(); ++i) {
      const practice::Change change = change_of(reader_, revisions[i].change);
      for (const std::string& act : acts_between(revisions[i - 1].record, revisions[i].record)) {
        add(change.at, act, author(change.person));
      }
    }
    std::ranges::sort(all, {}, [](const Happening& one) { return std::tie(one.at, one.what); });
    return all;
  }

  /// " to Room 2"
  [[nodiscard]] std::string room_words(const fleet::ServicingEntry& entry) const {
    const auto room = entry.room ? reader_.get<practice::Room>(*entry.room) : std::nullopt;
    if (!room) return "";
    return (entry.what == fleet::Deed::kLent ? " to " : " from ") + room->record.name;
  }

  [[nodiscard]] std::vector<PaperOnFile> papers(const LightRecord& record) const {
    constexpr std::size_t digits_shown = 16;
    std::vector<PaperOnFile> all;
    for (const auto& paper : record.papers) {
      const base::Instant at = change_of(reader_, paper.change).at;
      all.push_back({paper.record.about, std::get<std::string>(base::Kept<practice::MediaType>::to(paper.record.media)),
                     day_text(local_day(at, record.site.record.time_zone)),
                     paper.record.sha256.substr(0, digits_shown)});
    }
    return all;
  }

  std::string author(const std::string& person) {
    const auto number = base::whole_number(person);
    return number ? names_.of({*number}) : "the program";
  }

  [[nodiscard]] std::string state_sentence(const MonthReport& report) const {
    if (report.lights.empty()) return "No light " + is(report.until) + "kept.";
    constexpr std::array<StateWord, 4> order = {StateWord::kInUse, StateWord::kWatch, StateWord::kWithdrawn,
                                                StateWord::kNotAccepted};
    std::string text =
        counted(report.lights.size(), "light " + is(report.until) + "kept: ", "lights " + are(report.until) + "kept: ");
    bool is_first = true;
    for (const StateWord state : order) {
      std::string called;
      std::size_t count = 0;
      for (const LightMonth& light : report.lights) {
        if (light.view.state.state != state) continue;
        ++count;
        called += (called.empty() ? "" : ", ") + light.view.record.light.record.name;
      }
      if (count == 0) continue;
      text += (is_first ? "" : "; ") + std::to_string(count) + (state == StateWord::kWatch ? " on " : " ") +
              std::string(word(state));
      if (state != StateWord::kInUse) text += " (" + called + ")";
      is_first = false;
    }
    return text + ".";
  }

  /// Those that were open then.
  [[nodiscard]] std::string look_back_sentence(base::Instant until) const {
    const Places places(reader_);
    std::string told;
    std::size_t open = 0;
    for (const auto& one : reader_.list<practice::LookBack>({.where = {}, .order_by = {}, .limit = kAllOfThem})) {
      const practice::LookBack& look_back = one.record;
      const bool is_open = look_back.opened_at <= until && (!look_back.closed_at || *look_back.closed_at > until);
      if (!is_open || look_back.merged_into) continue;
      const LookBackShare share(reader_, places, member_, one);
      if (!share.sees_any()) continue;
      const LookBackCounts counts = share.counts(tally_of(reader_, one)).seen;
      const std::string light = base::given(reader_.get<fleet::LightEntry>(look_back.light)).record.name;
      told += (told.empty() ? "" : "; ") + light + ", " + std::to_string(counts.restorations) + " restorations, " +
              std::to_string(counts.restorations - counts.decided) + " without a decision";
      ++open;
    }
    if (open == 0) return "No look-back " + is(until) + "open.";
    return counted(open, "look-back " + is(until) + "open: ", "look-backs " + are(until) + "open: ") + told + ".";
  }

  std::string decision_sentence(const std::string& zone) {
    const Places places(reader_);
    const store::Table table = store::table_of<practice::Decision>();
    std::map<practice::Followup, std::size_t> counts;
    std::set<std::string> signers;
    std::size_t all = 0;
    for (const auto& one : reader_.list<practice::Decision>({.where = {}, .order_by = {}, .limit = kAllOfThem})) {
      if (!is_in(month_, one.record.signed_at, zone)) continue;
      if (!member_.sees(places.site_of(table, base::values_of(one.record)))) continue;
      ++counts[one.record.what];
      signers.insert(names_.of(one.record.signed_by));
      ++all;
    }
    if (all == 0) return "No decision was signed.";
    std::string text = counted(all, "decision was signed: ", "decisions were signed: ");
    bool is_first = true;
    for (const auto& [what, count] : counts) {
      text += (is_first ? "" : ", ") + std::to_string(count) + " " +
              std::string(base::Words<practice::Followup>::words.at(static_cast<std::size_t>(what)));
      is_first = false;
    }
    text += "; by ";
    is_first = true;
    for (const std::string& name : signers) {
      text += (is_first ? "" : ", ") + name;
      is_first = false;
    }
    return text + ".";
  }

  const store::Reader& reader_;
  const practice::Member& member_;
  LocalMonth month_;
  base::Instant now_;
  Policy policy_;
  Names names_;
};

}  // namespace

MonthReport month_report(const store::Reader& reader, const practice::Member& member, const LocalMonth& month,
                         std::optional<base::LightId> only, base::Instant now) {
  const auto own = base::given(reader.get<practice::Site>(member.site)).record;
  MonthReport report{.month = month,
                     .site = own.name,
                     .time_zone = own.time_zone,
                     .until = known_until(month, now, own.time_zone),
                     .sentences = {},
                     .lights = {},
                     .radiometers = {},
                     .values = values_in_force(Policy(reader)),
                     .head = printed_head(reader)};
  if (begin_of(month, own.time_zone) > now) {
    base::refuse("month", month_text(month) + " has not begun", "Choose this month or one before it");
  }
  Report made(reader, member, month, now);
  std::set<std::string> sites;
  std::set<std::int64_t> radiometers;
  for (const base::LightId id : lights_of(reader, member)) {
    if (only && id != *only) continue;
    std::optional<LightMonth> light = made.light(id);
    if (!light) continue;
    sites.insert(light->view.record.site.record.name);
    for (const CheckRow& row : light->checks) radiometers.insert(row.radiometer_id.number);
    report.lights.push_back(*std::move(light));
  }
  if (only && report.lights.empty()) throw Missing("There is no light of that number here in that month.");
  if (sites.size() > 1) report.site = "all sites";
  if (sites.size() == 1) report.site = *sites.begin();
  report.radiometers =
      logged_radiometers(reader, {radiometers.begin(), radiometers.end()}, report.until, report.time_zone);
  if (!only) report.sentences = made.sentences(report);
  return report;
}

}  // namespace throughcure::desk
