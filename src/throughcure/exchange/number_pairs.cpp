#include "throughcure/exchange/number_pairs.hpp"

#include <algorithm>
#include <optional>

#include "throughcure/base/number_text.hpp"
#include "throughcure/exchange/columns_text.hpp"

namespace throughcure::exchange {

namespace {

constexpr std::size_t kMostProblems = 20;

using Line = TextLine;

std::vector<std::string_view> split(std::string_view text, char separator) {
  std::vector<std::string_view> fields;
  if (separator == ' ') {
    while (!(text = trimmed(text)).empty()) {
      const std::size_t end = std::min(text.find_first_of(kBlanks), text.size());
      fields.push_back(text.substr(0, end));
      text.remove_prefix(end);
    }
    return fields;
  }
  for (;;) {
    const std::size_t end = text.find(separator);
    fields.push_back(trimmed(text.substr(0, end)));
    if (end == std::string_view::npos) return fields;
    text.remove_prefix(end + 1);
  }
}

/// What separates the columns: the first of ; tab comma space that is there. A comma only where the words between
/// spaces do not read as two numbers with decimal commas.
char separator_of(const std::vector<Line>& lines) {
  const auto some_line_has = [&lines](char c) {
    return std::ranges::any_of(lines, [c](const Line& line) { return trimmed(line.text).find(c) != line.text.npos; });
  };
  if (some_line_has(';')) return ';';
  if (some_line_has('\t')) return '\t';
  if (!some_line_has(',')) return ' ';
  const auto words = split(lines.back().text, ' ');
  const bool decimal_commas =
      words.size() == 2 && std::ranges::none_of(words, [](std::string_view word) {
        return word.starts_with(',') || word.ends_with(',') || std::ranges::count(word, ',') > 1;
      });
  return decimal_commas ? ' ' : ',';
}

class Reader {
 public:
  Reader(const std::string& file, const PairsWanted& wanted, base::Problems& problems)
      : file_(file), wanted_(wanted), problems_(problems) {}

  NumberPairs read(std::string_view text) {
    const std::vector<Line> lines = lines_of(text);
    NumberPairs pairs;
    const char separator = lines.empty() ? ';' : separator_of(lines);
    bool first_line = true;
    for (const Line& line : lines) {
      const auto fields = split(line.text, separator);
      const bool header = first_line && !number_in(fields.front());
      first_line = false;
      if (!header) add_row(line, fields, pairs);
    }
    if (rows_ < wanted_.at_least) {
      add(0, "",
          std::to_string(rows_) + " rows of numbers are fewer than the least, " + std::to_string(wanted_.at_least),
          "Give a line for each value of " + std::string(wanted_.first_name) + " with its " +
              std::string(wanted_.second_name));
    }
    if (rows_ > wanted_.at_most) {
      add(0, "", std::to_string(rows_) + " rows are more than the most, " + std::to_string(wanted_.at_most),
          "Give fewer rows");
    }
    if (found_ > kMostProblems) {
      problems_.push_back({.file = file_,
                           .field = {},
                           .what = std::to_string(found_ - kMostProblems) + " more lines are wrong",
                           .remedy = "Mend those named above first"});
    }
    return pairs;
  }

 private:
  void add_row(const Line& line, const std::vector<std::string_view>& fields, NumberPairs& pairs) {
    ++rows_;
    if (rows_ > wanted_.at_most) return;
    if (fields.size() != 2) {
      add(line.number, "", shown(trimmed(line.text)) + " holds " + std::to_string(fields.size()) + " columns, not 2",
          "Keep " + std::string(wanted_.first_name) + " and " + std::string(wanted_.second_name) +
              ", separated by ; or a tab where decimals are written with a comma");
      return;
    }
    const auto first = number(line.number, fields[0], wanted_.first_name, wanted_.first);
    const auto second = number(line.number, fields[1], wanted_.second_name, wanted_.second);
    if (!first) return;
    if (!pairs.first.empty() && *first <= pairs.first.back()) {
      const bool again = *first == pairs.first.back();
      add(line.number, wanted_.first_name,
          base::number_text(*first) +
              (again ? " is there twice" : " stands after " + base::number_text(pairs.first.back())),
          again ? "Give each value once" : "Sort the rows so that the first column rises");
      return;
    }
    pairs.first.push_back(*first);
    pairs.second.push_back(second.value_or(stand_in(wanted_.second)));
  }

  std::optional<double> number(int line, std::string_view field, std::string_view name, const Limits& limits) {
    const std::string remedy = "Give " + exchange::wanted(limits);
    const auto value = number_in(field);
    if (!value) {
      add(line, name, shown(field) + " is no number", remedy);
    } else if (const auto against = against_limits(*value, limits)) {
      add(line, name, *against, remedy);
    } else {
      return value;
    }
    return std::nullopt;
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
  const PairsWanted& wanted_;
  base::Problems& problems_;
  std::size_t rows_ = 0;
  std::size_t found_ = 0;
};

}  // namespace

NumberPairs parse_number_pairs(std::string_view text, const std::string& file, const PairsWanted& wanted,
                               base::Problems& problems) {
  return Reader(file, wanted, problems).read(text);
}

}  // namespace throughcure::exchange
