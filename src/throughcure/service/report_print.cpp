#include "throughcure/service/report_print.hpp"

#include <cmath>

#include "throughcure/draw/print_pages.hpp"
#include "throughcure/service/light_month_chart.hpp"
#include "throughcure/service/print_parts.hpp"

namespace throughcure::service {

namespace {

using draw::Heading;
using draw::TypeSize;
using draw::Words;

constexpr double kChartHeight_mm = 68;

std::string whole(double number) { return std::to_string(std::llround(number)); }

std::string day_or(const std::optional<base::Instant>& at, const std::string& zone, const char* otherwise) {
  return at ? desk::day_text(desk::local_day(*at, zone)) : otherwise;
}

std::string gives(const desk::LightView& view) {
  if (view.output.split.series.empty()) return "not known";
  const fleet::OutputSpread& today = view.output.today;
  return whole(today.p50) + ", " + whole(today.p10) + " to " + whole(today.p90);
}

/// "It is on watch. Its check is overdue by 2 days." Nothing where its own sentence begins with how it stands.
std::string state_words(const desk::LightState& state) {
  if (state.state == desk::StateWord::kWithdrawn || state.state == desk::StateWord::kNotAccepted) return "";
  const std::string stands(state.state == desk::StateWord::kWatch ? "on watch" : desk::word(state.state));
  std::string words = "It is " + stands + ".";
  if (!state.overdue) return words;
  return words + " Its check is overdue by " + std::to_string(state.overdue_days) +
         (state.overdue_days == 1 ? " day." : " days.");
}

/// What its papers say: approval, market, warranty, battery.
std::string paper_words(const fleet::LightEntry& light, const std::string& zone) {
  std::string words = "National approval: " + light.approval_number.value_or("no number is on record");
  if (light.approved_by) words += ", " + *light.approved_by;
  words += ".";
  if (light.bought_in) words += " Bought in " + *light.bought_in + ".";
  if (light.warranty_until) words += " Warranty until " + day_or(light.warranty_until, zone, "") + ".";
  return words + (light.battery ? " Battery: " + *light.battery + "." : " No battery is on record.");
}

class ReportPrint {
 public:
  ReportPrint(const desk::MonthReport& report, base::Instant now) : report_(report), now_(now) {
    title_ = "Curing lights of " + report.site + ", " + desk::month_text(report.month);
    matter_.head = head_of("");
    matter_.foot = foot_of(report.head);
  }

  draw::Print make() && {
    if (!report_.sentences.empty()) put_first_page();
    for (const desk::LightMonth& light : report_.lights) put_light(light);
    draw::LaidOut out = draw::laid_out(matter_);
    return {.title = title_, .made_at = now_, .pages = std::move(out.pages), .chapters = std::move(out.chapters)};
  }

 private:
  [[nodiscard]] std::string head_of(const std::string& light) const {
    return title_ + (light.empty() ? "" : ": " + light) + ", " + printed_words(now_, report_.time_zone);
  }
  void put(draw::Block block) { matter_.blocks.push_back(std::move(block)); }

  void put_first_page() {
    put(Words{title_, TypeSize::kLarge});
    for (const std::string& sentence : report_.sentences) put(Words{typeset(sentence)});
    put(Words{known_words(report_.month, report_.until, report_.time_zone)});
    put(Heading{"Lights"});
    put(light_table());
    put(
        Words{"Gives: radiant exitance as estimated from claim, readings and what was done, mW/cm², with the interval "
              "that holds it 8 times in 10. Limit: the reading under which its checks fail, mW/cm², as its radiometer "
              "shows it. Below its limit: the day on which it has an even chance to be, by the forecast.",
              TypeSize::kSmall});
    put(Heading{"Radiometers that the checks were taken with"});
    put(radiometer_table(report_.radiometers));
    put(Heading{"Limits and intervals in force when this was printed"});
    put(values_table(report_.values));
    put(draw::ToSign{{"For the practice"}});
  }

  [[nodiscard]] draw::Table light_table() const {
    draw::Table table{.columns = {{"light", 2.7},
                                  {"serial", 1.8},
                                  {"room", 2.0},
                                  {"how it stands", 2.1},
                                  {"gives", 3.3},
                                  {"limit", 1.3, draw::Align::kEnd},
                                  {"last check", 2.2},
                                  {"below its limit", 2.3}},
                      .rows = {},
                      .none = "No light is kept."};
    for (const desk::LightMonth& light : report_.lights) {
      const desk::LightView& view = light.view;
      const std::string& zone = view.record.site.record.time_zone;
      const auto& falls = view.output.falls_below;
      table.rows.push_back({view.record.light.record.name, view.record.light.record.serial,
                            view.record.room.record.name, std::string(desk::word(view.state.state)), gives(view),
                            whole(view.limit.shown_mw_cm2), day_or(view.state.last_check, zone, "never"),
                            view.output.split.series.empty()
                                ? "not known"
                                : day_or(falls ? falls->middle : std::nullopt, zone, "after 3 years")});
    }
    return table;
  }

  void put_light(const desk::LightMonth& light) {
    const desk::LightRecord& record = light.view.record;
    const fleet::LightEntry& entry = record.light.record;
    put(draw::NewPage{head_of(entry.name), entry.name});
    put(Words{entry.name, TypeSize::kLarge});
    put(Words{"Serial " + entry.serial + ", " + record.room.record.name + ", " + record.site.record.name + ". " +
              state_words(light.view.state)});
    put(Words{as_it_stood(light) + typeset(light.sentence)});
    put(Words{"Its limit is " + whole(light.view.limit.shown_mw_cm2) + " mW/cm² " +
              desk::as_shown_words(light.view.shown_by) + ": " + light.view.limit_why + "."});
    put_chart(light);
    put(Heading{"Checks of " + desk::month_text(report_.month)});
    put(check_table(light.checks, false));
    put(Heading{"Done, and happened, in " + desk::month_text(report_.month)});
    put(happening_table(light));
    put(Heading{"Papers on file"});
    put(Words{paper_words(entry, record.site.record.time_zone)});
    put(paper_table(light));
    std::string missing;
    for (const std::string& one : light.missing) missing += " " + one;
    if (!missing.empty()) put(Words{"Acceptance still wants:" + missing, TypeSize::kSmall});
    put(draw::ToSign{{"Seen, and acted on", "For the practice"}});
  }

  /// Before a sentence of today that was said at the end of a month which is over.
  [[nodiscard]] std::string as_it_stood(const desk::LightMonth& light) const {
    const std::string& zone = light.view.record.site.record.time_zone;
    if (!is_over(report_.month, light.until, zone)) return "";
    return "As it stood on " + desk::day_text(desk::local_day(light.until, zone)) + ": ";
  }

  void put_chart(const desk::LightMonth& light) {
    const draw::TimeChart chart = light_month_chart(light);
    if (chart.dots.empty() && chart.band.empty()) {
      put(Words{"No reading is on record yet: the first check begins its baseline."});
      return;
    }
    put(draw::Figure{draw::time_chart(chart, matter_.width_mm - 2 * draw::kPrintMargin_mm, kChartHeight_mm)});
    put(Words{"All of it " + desk::as_shown_words(light.view.shown_by) +
                  ". Full dots: readings without the loss in a barrier; hollow ones do not count; small ones are of "
                  "another tip, mode or radiometer, brought to this one's scale. Line and grey band: the estimated "
                  "output, 8 times in 10 inside the band; hatched: its forecast. Triangles: what was done.",
              TypeSize::kSmall});
  }

  static draw::Table happening_table(const desk::LightMonth& light) {
    draw::Table table{.columns = {{"when", 2}, {"what", 5}, {"by", 3}}, .rows = {}, .none = "Nothing is noted."};
    for (const desk::Happening& one : light.happenings) table.rows.push_back({one.when, one.what, one.by});
    return table;
  }

  static draw::Table paper_table(const desk::LightMonth& light) {
    draw::Table table{.columns = {{"shows", 3}, {"kind", 3}, {"on file since", 2}, {"SHA-256 begins with", 3}},
                      .rows = {},
                      .none = "No paper is on file."};
    for (const desk::PaperOnFile& one : light.papers) {
      table.rows.push_back({one.about, one.media, one.added, one.fingerprint});
    }
    return table;
  }

  const desk::MonthReport& report_;
  base::Instant now_;
  std::string title_;
  draw::Matter matter_;
};

}  // namespace

draw::Print report_print(const desk::MonthReport& report, base::Instant now) { return ReportPrint(report, now).make(); }

}  // namespace throughcure::service
