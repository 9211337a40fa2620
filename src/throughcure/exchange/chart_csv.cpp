#include "throughcure/exchange/chart_csv.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <utility>

#include "throughcure/exchange/columns_text.hpp"
#include "throughcure/exchange/foreign_file.hpp"
#include "throughcure/exchange/limits.hpp"

namespace throughcure::exchange {

namespace {

constexpr std::size_t kMostProblems = 20;
constexpr double kLargest = 1e12;
constexpr std::string_view kDigits = "0123456789";

char separator_of(std::string_view header) {
  for (const char c : {';', '\t', ','}) {
    if (header.find(c) != header.npos) return c;
  }
  return ';';
}

/// Fields without blanks and quotes around them; a separator inside quotes separates nothing.
std::vector<std::string_view> split_quoted(std::string_view text, char separator) {
  std::vector<std::string_view> fields;
  std::size_t from = 0;
  bool quoted = false;
  for (std::size_t i = 0; i <= text.size(); ++i) {
    if (i < text.size() && text[i] == '"') quoted = !quoted;
    if (i < text.size() && (quoted || text[i] != separator)) continue;
    std::string_view field = trimmed(text.substr(from, i - from));
    if (field.size() >= 2 && field.front() == '"' && field.back() == '"') field = field.substr(1, field.size() - 2);
    fields.push_back(trimmed(field));
    from = i + 1;
  }
  return fields;
}

bool same_word(std::string_view field, std::string_view word) {
  return std::ranges::equal(field, word,
                            [](char a, char b) { return (a >= 'A' && a <= 'Z' ? a - 'A' + 'a' : a) == b; });
}

/// A moment that can be compared with the others of its file.
struct Moment {
  bool date = false;
  double number = 0;  ///< days since 1970 and the share of the day, or the number itself
};

std::optional<int> digits(std::string_view& text, std::size_t count) {
  if (text.size() < count || text.substr(0, count).find_first_not_of(kDigits) != text.npos) return std::nullopt;
  int value = 0;
  for (const char c : text.substr(0, count)) value = 10 * value + (c - '0');
  text.remove_prefix(count);
  return value;
}

/// Takes `c` off the front; false where it does not stand there.
bool took(std::string_view& text, char c) {
  if (!text.starts_with(c)) return false;
  text.remove_prefix(1);
  return true;
}

/// "08:30", "08:30:15", "08:30:15.25", each with Z or +01:00 behind it or not, as a share of the day.
std::optional<double> time_of_day(std::string_view text) {
  const auto hour = digits(text, 2);
  if (!hour || *hour > 23 || !took(text, ':')) return std::nullopt;
  const auto minute = digits(text, 2);
  if (!minute || *minute > 59) return std::nullopt;
  double seconds = 3600.0 * *hour + 60.0 * *minute;
  if (took(text, ':')) {
    const auto second = digits(text, 2);
    if (!second || *second > 59) return std::nullopt;
    seconds += *second;
    if (took(text, '.')) {
      double place = 0.1;
      while (!text.empty() && kDigits.find(text.front()) != kDigits.npos) {
        seconds += place * (text.front() - '0');
        place /= 10;
        text.remove_prefix(1);
      }
    }
  }
  if (text.starts_with('+') || text.starts_with('-')) {
    const double sign = text.front() == '+' ? -1 : 1;
    text.remove_prefix(1);
    const auto hours = digits(text, 2);
    took(text, ':');
    const auto minutes = digits(text, 2);
    if (!hours || !minutes || *hours > 14 || *minutes > 59) return std::nullopt;
    seconds += sign * (3600.0 * *hours + 60.0 * *minutes);
  } else {
    took(text, 'Z');
  }
  if (!text.empty()) return std::nullopt;
  return seconds / 86'400;
}

std::optional<Moment> moment_in(std::string_view text) {
  if (const auto number = number_in(text)) {
    return std::isfinite(*number) ? std::optional(Moment{.date = false, .number = *number}) : std::nullopt;
  }
  const auto year = digits(text, 4);
  if (!year || !took(text, '-')) return std::nullopt;
  const auto month = digits(text, 2);
  if (!month || !took(text, '-')) return std::nullopt;
  const auto day = digits(text, 2);
  if (!day) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year{*year}, std::chrono::month{static_cast<unsigned>(*month)},
                                         std::chrono::day{static_cast<unsigned>(*day)}};
  if (!date.ok()) return std::nullopt;
  Moment moment{.date = true, .number = static_cast<double>(std::chrono::sys_days{date}.time_since_epoch().count())};
  if (text.empty()) return moment;
  if (!took(text, 'T') && !took(text, ' ')) return std::nullopt;
  const auto share = time_of_day(text);
  if (!share) return std::nullopt;
  moment.number += *share;
  return moment;
}

class Reader {
 public:
  Reader(const std::string& file, base::Problems& problems) : file_(file), problems_(problems) {}

  ChartSeries read(std::string_view text) {
    const std::vector<TextLine> lines = lines_of(text);
    if (lines.empty()) {
      add(0, "", "the file holds nothing", "Give a header with the column value, and a row for each reading");
      return {};
    }
    separator_ = separator_of(lines.front().text);
    if (!read_header(lines.front())) return {};
    for (std::size_t i = 1; i < lines.size() && i <= kMostChartRows; ++i) read_row(lines[i]);
    if (lines.size() == 1) add(0, "value", "there is no reading", "Give a row for each reading under the header");
    if (lines.size() > kMostChartRows + 1) {
      add(0, "", std::to_string(lines.size() - 1) + " rows are more than the most, " + std::to_string(kMostChartRows),
          "Give fewer rows");
    }
    if (found_ > kMostProblems) {
      problems_.push_back({.file = file_,
                           .field = {},
                           .what = std::to_string(found_ - kMostProblems) + " more things are wrong",
                           .remedy = "Mend those named above first"});
    }
    return std::move(series_);
  }

 private:
  bool read_header(const TextLine& line) {
    const auto names = split_quoted(line.text, separator_);
    columns_ = names.size();
    for (std::size_t i = 0; i < names.size(); ++i) {
      for (const auto& [word, column] : {std::pair<std::string_view, std::optional<std::size_t>*>{"value", &value_},
                                         std::pair<std::string_view, std::optional<std::size_t>*>{"time", &time_}}) {
        if (!same_word(names[i], word)) continue;
        if (*column) add(line.number, word, "the header names it twice", "Keep one column of this name");
        *column = i;
      }
    }
    if (!value_) {
      add(line.number, "value", "the header " + shown(trimmed(line.text)) + " names no such column",
          "Name the column of the readings value in the first line");
    }
    return value_.has_value();
  }

  void read_row(const TextLine& line) {
    const auto fields = split_quoted(line.text, separator_);
    if (fields.size() != columns_) {
      add(line.number, "",
          shown(trimmed(line.text)) + " holds " + std::to_string(fields.size()) + " columns, the header " +
              std::to_string(columns_),
          "Give as many as the header has, separated by ; or a tab where decimals are written with a comma");
      return;
    }
    const Limits limits{.at_least = -kLargest, .at_most = kLargest};
    const std::string_view field = fields[value_.value_or(0)];  // rows are read once there is one
    const auto value = number_in(field);
    if (!value) {
      add(line.number, "value", shown(field) + " is no number", "Give " + wanted(limits) + ", or leave the row out");
    } else if (const auto against = against_limits(*value, limits)) {
      add(line.number, "value", *against, "Give " + wanted(limits));
    }
    series_.value.push_back(value.value_or(0));
    if (time_) read_time(line.number, fields[*time_]);
  }

  void read_time(int line, std::string_view field) {
    series_.time.emplace_back(field);
    const auto moment = moment_in(field);
    if (!moment) {
      add(line, "time", shown(field) + " is no time", "Give a number, or a date as 2026-03-01 or 2026-03-01T08:30");
    } else if (last_ && moment->date != last_->date) {
      add(line, "time", shown(field) + " is written otherwise than the time before",
          "Give all times as numbers, or all as dates");
    } else if (last_ && moment->number < last_->number) {
      add(line, "time", shown(field) + " lies before the time of the row above", "Sort the rows by time");
    }
    if (moment) last_ = moment;
  }

  void add(int line, std::string_view field, std::string what, std::string remedy) {
    if (++found_ > kMostProblems) return;
    problems_.push_back({.file = file_,
                         .line = line,
                         .field = std::string(field),
                         .what = std::move(what),
                         .remedy = std::move(remedy)});
  }

  const std::string& file_;
  base::Problems& problems_;
  ChartSeries series_;
  char separator_ = ';';
  std::size_t columns_ = 0;
  std::optional<std::size_t> value_;
  std::optional<std::size_t> time_;
  std::optional<Moment> last_;
  std::size_t found_ = 0;
};

}  // namespace

std::optional<ChartSeries> read_chart_series(const std::filesystem::path& path, base::Problems& problems) {
  const auto text = read_foreign_file(path, kMostTextBytes, problems);
  return text ? parse_chart_series(*text, path.string(), problems) : std::nullopt;
}

std::optional<ChartSeries> parse_chart_series(std::string_view text, const std::string& file,
                                              base::Problems& problems) {
  const std::size_t before = problems.size();
  ChartSeries series = Reader(file, problems).read(text);
  if (problems.size() > before) return std::nullopt;
  return series;
}

}  // namespace throughcure::exchange
