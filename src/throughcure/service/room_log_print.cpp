#include "throughcure/service/room_log_print.hpp"

#include "throughcure/draw/print_pages.hpp"
#include "throughcure/service/print_parts.hpp"

namespace throughcure::service {

namespace {

using draw::Heading;
using draw::TypeSize;
using draw::Words;

constexpr std::size_t kRowsForThePen = 8;
constexpr std::size_t kRowsForThePenAlone = 30;  // of a room whose log is kept on paper

draw::Table light_table(const desk::RoomLog& log) {
  draw::Table table{
      .columns = {{"light", 3}, {"serial", 2}, {"tips", 3}, {"national approval", 3.5}, {"how it stands", 1.6}},
      .rows = {},
      .none = "No light is kept in this room."};
  for (const desk::LoggedLight& one : log.lights) {
    table.rows.push_back({one.name, one.serial, one.tips, one.approval, one.state});
  }
  return table;
}

}  // namespace

draw::Print room_log_print(const desk::RoomLog& log, base::Instant now) {
  const std::string title = log.room + ", " + log.site + ": checks of " + desk::month_text(log.month);
  draw::Matter matter{.width_mm = 297,
                      .height_mm = 210,
                      .head = title + ", " + printed_words(now, log.time_zone),
                      .foot = foot_of(log.head),
                      .blocks = {}};
  const auto put = [&](draw::Block block) { matter.blocks.push_back(std::move(block)); };
  put(Words{title, TypeSize::kLarge});
  std::string sentences;
  for (const std::string& sentence : log.sentences) sentences += (sentences.empty() ? "" : " ") + sentence;
  put(Words{typeset(sentences) + " " + known_words(log.month, log.until, log.time_zone)});
  put(light_table(log));
  put(radiometer_table(log.radiometers));
  draw::Table checks = check_table(log.rows, true);
  checks.to_fill_in = log.rows.empty() ? kRowsForThePenAlone : kRowsForThePen;
  put(Heading{"Checks, times by the clock of " + log.time_zone});
  put(std::move(checks));
  put(Words{how_to_read_checks(), TypeSize::kSmall});
  put(Heading{"Limits and intervals in force when this was printed"});
  put(Words{"In this room a light is checked every " + std::to_string(log.check_every_days) +
                (log.check_every_days == 1 ? " day." : " days."),
            TypeSize::kSmall});
  put(values_table(log.values));
  put(draw::ToSign{{"Rows by hand taken over into the records by", "Looked through by"}});
  draw::LaidOut out = draw::laid_out(matter);
  return {.title = title, .made_at = now, .pages = std::move(out.pages), .chapters = std::move(out.chapters)};
}

}  // namespace throughcure::service
