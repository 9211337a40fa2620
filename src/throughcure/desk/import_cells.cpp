#include "throughcure/desk/import_cells.hpp"

#include <algorithm>

#include "throughcure/base/given.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/local_day.hpp"
#include "throughcure/exchange/field_text.hpp"
#include "throughcure/exchange/written_yes_no.hpp"

namespace throughcure::desk {

namespace {

constexpr std::int64_t kUsPerMinute = 60'000'000;
constexpr std::int64_t kUsPerDay = 1440 * kUsPerMinute;
constexpr std::int64_t kNoonUs = 720 * kUsPerMinute;

std::string quoted(std::string_view text) { return "\"" + exchange::cut_short(std::string(text)) + "\""; }

/// Small letters, and blanks and hyphens as low lines: how a word of a list is compared.
std::string plain_word(std::string_view text) {
  std::string plain = plain_name(text);
  std::ranges::replace_if(plain, [](char c) { return c == ' ' || c == '-'; }, '_');
  return plain;
}

}  // namespace

std::string grouped_number(double number) {
  std::string text = base::number_text(number);
  if (text.find_first_not_of("-.0123456789") != std::string::npos) return text;
  const std::size_t first = text.starts_with('-') ? 1 : 0;
  const std::size_t end = std::min(text.find('.'), text.size());
  for (std::size_t at = end; at > first + 3; at -= 3) text.insert(at - 3, ",");
  return text;
}

ImportCells::ImportCells(const exchange::Sheet& sheet, const ImportPlan& plan, const ImportBook& book)
    : sheet_(sheet), plan_(plan), book_(book) {}

void ImportCells::begin(std::size_t row) {
  row_ = row;
  rejections_.clear();
  understood_.clear();
  const std::size_t names = sheet_.names().size();
  if (sheet_.width(row) > names) {
    reject(
        "", "it has " + std::to_string(sheet_.width(row)) + " cells, and the row of names has " + std::to_string(names),
        "Look for a comma or another separator inside a text or a number: save the file with quotation marks, or with "
        "another separator; name every column that is used");
  }
}

const PlannedField& ImportCells::planned(std::string_view field) const {
  const auto at =
      std::ranges::find(plan_.fields, field, [](const PlannedField& planned) { return planned.field->name; });
  if (at == plan_.fields.end()) throw base::Failure("an import asked for a field that its kind has not");
  return *at;
}

ImportCells::Source ImportCells::source(const PlannedField& planned) const {
  if (planned.column) {
    const std::string_view cell = sheet_.cell(row_, *planned.column);
    if (!cell.empty()) return {.text = cell};
  }
  if (planned.constant) return {.text = *planned.constant, .constant = true};
  return {};
}

ImportCells::Source ImportCells::wanted(const PlannedField& planned) {
  const Source from = source(planned);
  if (from.text.empty() && planned.field->required) {
    reject(planned.field->name, "there is nothing in it", "Fill it in, or say one value for all rows without one");
  }
  return from;
}

void ImportCells::reject(std::string_view field, std::string what, std::string remedy) {
  std::string text;
  if (!field.empty()) text = exchange::cut_short(std::string(source(planned(field)).text));
  rejections_.push_back({.row = sheet_.number(row_),
                         .field = std::string(field),
                         .text = std::move(text),
                         .what = std::move(what),
                         .remedy = std::move(remedy)});
}

void ImportCells::say(std::string_view field, std::string text) {
  if (keeps_texts_) understood_.emplace_back(field, std::move(text));
}

std::optional<std::string> ImportCells::text(std::string_view field) {
  const std::string_view from = wanted(planned(field)).text;
  if (from.empty()) return std::nullopt;
  say(field, exchange::cut_short(std::string(from)));
  return std::string(from);
}

std::optional<double> ImportCells::number(std::string_view field) {
  const PlannedField& planned = this->planned(field);
  const Source from = wanted(planned);
  if (from.text.empty()) return std::nullopt;
  const auto mark = from.constant ? exchange::DecimalMark::kPoint : base::given(plan_.decimal_mark);
  const auto number = exchange::read_written_number(from.text, mark);
  if (!number) {
    reject(field,
           quoted(from.text) + " is no number written with a decimal " +
               (mark == exchange::DecimalMark::kPoint ? "point" : "comma"),
           "Give a number, with its unit behind it or in the name of the column");
    return std::nullopt;
  }
  double value = number->value;
  const auto quantity = planned.field->quantity;
  auto unit = number->unit.empty() && !from.constant ? planned.unit : exchange::unit_called(number->unit);
  const std::string_view unit_text = number->unit.empty() ? std::string_view(planned.unit_text) : number->unit;
  if (!number->unit.empty() && !unit) {
    reject(field, quoted(unit_text) + " is no unit that is known here",
           "Give it in " + std::string(quantity ? exchange::kept_unit(*quantity) : "another unit"));
    return std::nullopt;
  }
  if (unit && quantity && unit->quantity != *quantity) {
    reject(field,
           std::string(unit_text) + " is a unit of " + std::string(exchange::word(unit->quantity)) +
               ", and this is a " + std::string(exchange::word(*quantity)),
           *quantity == exchange::Quantity::kShare
               ? "Give it as a share of one, or in %"
               : "Choose the column in " + std::string(exchange::kept_unit(*quantity)) + ", or convert it there");
    return std::nullopt;
  }
  if (unit) value *= unit->factor;
  if (keeps_texts_) {
    const std::string_view shown = quantity ? exchange::kept_unit(*quantity) : std::string_view();
    say(field, grouped_number(value) + (shown.empty() ? "" : " " + std::string(shown)));
  }
  return value;
}

std::optional<bool> ImportCells::yes(std::string_view field) {
  const std::string_view from = wanted(planned(field)).text;
  if (from.empty()) return std::nullopt;
  const auto yes = exchange::read_yes_no(from);
  if (!yes) {
    reject(field, quoted(from) + " is neither yes nor no", "Write yes or no");
    return std::nullopt;
  }
  say(field, *yes ? "yes" : "no");
  return yes;
}

std::optional<std::string> ImportCells::word(std::string_view field) {
  const PlannedField& planned = this->planned(field);
  const std::string_view from = wanted(planned).text;
  if (from.empty()) return std::nullopt;
  const auto words = planned.field->words;
  const auto at = std::ranges::find(words, plain_word(from));
  if (at == words.end()) {
    reject(field, quoted(from) + " is none of its words",
           "Write one of " + exchange::list_of(std::vector<std::string_view>(words.begin(), words.end())));
    return std::nullopt;
  }
  say(field, std::string(*at));
  return std::string(*at);
}

std::int64_t ImportCells::record(std::string_view field) {
  const PlannedField& planned = this->planned(field);
  const Source from = wanted(planned);
  if (from.text.empty()) return 0;
  const std::string_view kind = planned.field->refers_to;
  std::int64_t number = from.constant ? book_.chosen(kind, from.text) : 0;
  if (number == 0) {
    const auto& numbers = book_.called(kind, from.text);
    if (numbers.size() > 1) {
      reject(field, std::to_string(numbers.size()) + " records are called " + quoted(from.text),
             "Write the serial number instead, or choose one for all rows");
      return 0;
    }
    if (numbers.empty()) {
      // "light once here" is a light.
      reject(field,
             "no " + std::string(kind.substr(0, kind.find(' '))) + " in the records is called " + quoted(from.text),
             "Write its name or serial number as in the records, or add it there first");
      return 0;
    }
    number = numbers.front();
  }
  if (keeps_texts_) say(field, book_.name(kind, number));
  return number;
}

std::int64_t ImportCells::tip_of(base::LightId light) {
  const Source from = wanted(planned("tip"));
  const auto& tips = book_.tips_of(light);
  std::int64_t number = from.constant ? book_.chosen("tip", from.text) : 0;
  if (number != 0) {
    // One tip for all rows is one light's.
    if (std::ranges::find(tips, base::TipId{number}) == tips.end()) {
      reject("tip", "this tip belongs to another light", "Say the tip in a column, or leave it open");
      return 0;
    }
  } else if (!from.text.empty()) {
    const auto numbers = book_.tips_called(light, from.text);
    if (numbers.size() != 1) {
      reject(
          "tip",
          "this light has " + std::string(numbers.empty() ? "no tip" : "several tips") + " called " + quoted(from.text),
          "Write the tip's name as in the records, or add it there first");
      return 0;
    }
    number = numbers.front();
  } else if (tips.size() == 1) {
    number = tips.front().number;
  } else {
    reject("tip", tips.empty() ? "this light has no tip in the records" : "this light has several tips",
           tips.empty() ? "Add its tip there first" : "Say which, in a column");
    return 0;
  }
  if (keeps_texts_) say("tip", book_.name("tip", number));
  return number;
}

std::optional<base::Instant> ImportCells::at_clock(std::string_view field, const exchange::WrittenDate& date,
                                                   const std::string& time_zone) {
  const std::int64_t us = date.us_of_day.value_or(kNoonUs);
  if (date.offset_minutes) return base::Instant{date.day * kUsPerDay + us - *date.offset_minutes * kUsPerMinute};
  const LocalMoment moment = local_moment(date.day, us, time_zone);
  if (moment.at.empty()) {
    reject(field, "the clock is put forward over this time in that night (" + time_zone + ")",
           "Write the time that the clock showed");
    return std::nullopt;
  }
  if (moment.at.size() > 1) {
    reject(field, "this time comes twice in that night, when the clock is put back (" + time_zone + ")",
           "Write which, with the clock's offset from UTC: 2026-10-25T01:30+01:00");
    return std::nullopt;
  }
  return moment.at.front();
}

std::optional<base::Instant> ImportCells::instant(std::string_view field, const std::string& time_zone) {
  const Source from = wanted(planned(field));
  if (from.text.empty()) return std::nullopt;
  const auto order = from.constant ? exchange::DateOrder::kYearMonthDay : base::given(plan_.date_order);
  auto date = exchange::read_written_date(from.text, order);
  if (!date) {
    reject(field,
           quoted(from.text) + " is no date from 1990 to 2100 in the order " + std::string(exchange::word(order)),
           "Write it as 2026-03-04, with the time behind it as 08:15");
    return std::nullopt;
  }
  std::string_view timed_by = field;
  if (!date->us_of_day) {
    timed_by = "time_of_day";
    const std::string_view time = source(planned(timed_by)).text;
    date->us_of_day = exchange::read_time_of_day(time);
    if (!date->us_of_day) {
      reject(timed_by, time.empty() ? "there is no time of day" : quoted(time) + " is no time of day",
             "Write it as 08:15, or say one for all rows without one");
      return std::nullopt;
    }
  }
  const auto at = at_clock(timed_by, *date, time_zone);
  if (at && keeps_texts_) say(field, local_text(*at, time_zone));
  return at;
}

std::optional<base::Instant> ImportCells::noon(std::string_view field, const std::string& time_zone) {
  const Source from = wanted(planned(field));
  if (from.text.empty()) return std::nullopt;
  const auto order = from.constant ? exchange::DateOrder::kYearMonthDay : base::given(plan_.date_order);
  auto date = exchange::read_written_date(from.text, order);
  const auto end_of_month = date ? std::nullopt : exchange::last_day_of_written_month(from.text);
  if (end_of_month) date = exchange::WrittenDate{.day = *end_of_month};
  if (!date) {
    reject(field, quoted(from.text) + " is no day from 1990 to 2100 in the order " + std::string(exchange::word(order)),
           "Write it as 2026-03-04, or as 2026-03 for the last day of that month");
    return std::nullopt;
  }
  date->us_of_day = kNoonUs;
  date->offset_minutes.reset();
  const auto at = at_clock(field, *date, time_zone);
  if (at && keeps_texts_) say(field, day_text(date->day) + (end_of_month ? ", the last day of that month" : ""));
  return at;
}

}  // namespace throughcure::desk
