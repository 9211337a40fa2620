#include "throughcure/service/print_parts.hpp"

#include <cmath>

namespace throughcure::service {

namespace {

constexpr std::size_t kDigitsTogether = 8;

std::string in_groups(const std::string& digits) {
  std::string text;
  for (std::size_t from = 0; from < digits.size(); from += kDigitsTogether) {
    text += (from == 0 ? "" : " ") + digits.substr(from, kDigitsTogether);
  }
  return text;
}

std::string whole(double number) { return std::to_string(std::llround(number)); }

}  // namespace

std::string typeset(std::string sentence) {
  constexpr std::string_view plain = "/cm2";
  for (std::size_t at = sentence.find(plain); at != std::string::npos; at = sentence.find(plain, at)) {
    sentence.replace(at, plain.size(), "/cm²");
  }
  return sentence;
}

std::vector<std::string> foot_of(const desk::PrintedHead& head) {
  const std::string size = std::to_string(head.size);
  std::vector<std::string> foot = {"Audit log, newest root, over " + size + " changes: " + in_groups(head.root),
                                   "Altered since? throughcure audit verify FILE --root \"HEX\" --size " + size +
                                       " tells: FILE is the exported log, HEX the root above."};
  if (!head.key.empty()) foot.push_back("The practice's public key, for --key: " + in_groups(head.key));
  return foot;
}

std::string printed_words(base::Instant now, const std::string& time_zone) {
  return "printed on " + desk::local_text(now, time_zone);
}

bool is_over(const desk::LocalMonth& month, base::Instant until, const std::string& time_zone) {
  return until + std::chrono::microseconds(1) >= desk::begin_of(desk::after(month), time_zone);
}

std::string known_words(const desk::LocalMonth& month, base::Instant until, const std::string& time_zone) {
  if (until < desk::begin_of(month, time_zone)) return "The month has not begun.";
  if (!is_over(month, until, time_zone)) {
    return "The month is not over: this is what was known on " + desk::local_text(until, time_zone) + ".";
  }
  return "This is how it stood at the end of the month, on " + desk::day_text(desk::local_day(until, time_zone)) + ".";
}

draw::Table radiometer_table(const std::vector<desk::LoggedRadiometer>& radiometers) {
  draw::Table table{.columns = {{"radiometer", 4}, {"serial", 2}, {"certificate", 4}, {"valid until", 2.4}},
                    .rows = {},
                    .none = "No radiometer is on record."};
  for (const desk::LoggedRadiometer& one : radiometers) {
    table.rows.push_back({one.name, one.serial, one.certificate, one.valid_until});
  }
  return table;
}

draw::Table values_table(const std::vector<desk::ValueInForce>& values) {
  draw::Table table{
      .columns = {{"limit or interval", 6}, {"in force", 1.8}, {"where it comes from", 6}}, .rows = {}, .none = ""};
  for (const desk::ValueInForce& one : values) table.rows.push_back({one.what, typeset(one.value), one.from});
  return table;
}

/// On a light's upright page the day stands above the time, so that what was looked at has room.
draw::Table check_table(const std::vector<desk::CheckRow>& rows, bool with_light) {
  draw::Table table{.columns = {{"taken", with_light ? 2.7 : 2.4}}, .rows = {}, .none = "No check was taken."};
  if (with_light) table.columns.push_back({"light", 2.9});
  for (const draw::TableColumn& column :
       std::vector<draw::TableColumn>{{"tip", 1.7},
                                      {"radiometer", 3.3},
                                      {with_light ? "shown, mW/cm²" : "shown,\nmW/cm²", 2.3, draw::Align::kEnd},
                                      {"of baseline", 1.8, draw::Align::kEnd},
                                      {"looked at", with_light ? 5.1 : 6.2},
                                      {"came to", 2.2},
                                      {"by", 2.0}}) {
    table.columns.push_back(column);
  }
  for (const desk::CheckRow& row : rows) {
    std::vector<std::string> cells = {row.taken};
    if (with_light) cells.push_back(row.light);
    for (const std::string& cell :
         {row.tip, row.radiometer, whole(row.shown_mw_cm2), row.share ? whole(100 * *row.share) + " %" : std::string(),
          row.looks, row.came_to, row.by}) {
      cells.push_back(cell);
    }
    table.rows.push_back(std::move(cells));
  }
  return table;
}

std::string how_to_read_checks() {
  return "Shown: what the radiometer showed, relative output, never the irradiance at the paste. Of baseline: against "
         "the first accepted reading with the same tip, radiometer and mode, the loss in a barrier taken out. Came to: "
         "what was told when it was taken. After \"now\": as the limits in force when this was printed, and what was "
         "corrected since, have it, where that is something else or what was told is not on record.";
}

}  // namespace throughcure::service
