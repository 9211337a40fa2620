#include "throughcure/exchange/toml_text.hpp"

#include <algorithm>
#include <ranges>
#include <string_view>

#include "throughcure/base/number_text.hpp"

namespace throughcure::exchange {

namespace {

std::string quoted(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (byte < 0x20 || byte == 0x7f) {
      constexpr std::string_view kDigits = "0123456789ABCDEF";
      out += "\\u00";
      out += kDigits[byte >> 4U];
      out += kDigits[byte & 0xFU];
    } else {
      out += c;
    }
  }
  return out + '"';
}

std::string key_text(std::string_view key) {
  constexpr std::string_view kBare = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-";
  const bool bare = !key.empty() && key.find_first_not_of(kBare) == std::string_view::npos;
  return bare ? std::string(key) : quoted(key);
}

/// On one line.
struct Inline {
  std::string operator()(bool flag) const { return flag ? "true" : "false"; }
  std::string operator()(std::int64_t number) const { return std::to_string(number); }
  std::string operator()(double number) const {
    std::string text = base::number_text(number);
    if (text.find_first_not_of("-0123456789") == std::string::npos) text += ".0";
    return text;
  }
  std::string operator()(const std::string& text) const { return quoted(text); }
  std::string operator()(const PlainList& list) const {
    std::string text;
    for (const PlainValue& value : list) text += (text.empty() ? "" : ", ") + std::visit(*this, value.is);
    return '[' + text + ']';
  }
  std::string operator()(const PlainTable& table) const {
    std::string text;
    for (const PlainMember& member : table) {
      text += (text.empty() ? "" : ", ") + key_text(member.key) + " = " + std::visit(*this, member.value.is);
    }
    return text.empty() ? "{}" : "{ " + text + " }";
  }
};

const PlainTable* table_in(const PlainValue& value) { return std::get_if<PlainTable>(&value.is); }

/// A number with its range stands on one line, however much is said of it.
bool is_number(const PlainTable& table) {
  return std::ranges::any_of(table, [](const PlainMember& m) { return m.key == "value"; });
}

/// Whether a table holds nothing but tables with headings of their own.
bool has_no_heading(const PlainTable& table) {
  return !table.empty() && std::ranges::all_of(table, [](const PlainMember& m) {
    const PlainTable* inner = table_in(m.value);
    return inner != nullptr && !is_number(*inner);
  });
}

/// A list of nothing but tables, one at least; else null.
const PlainList* tables_in(const PlainValue& value) {
  const auto* list = std::get_if<PlainList>(&value.is);
  const auto is_table = [](const PlainValue& one) { return table_in(one) != nullptr; };
  return list != nullptr && !list->empty() && std::ranges::all_of(*list, is_table) ? list : nullptr;
}

void write_heading(const std::string& heading, std::string& out) { out += (out.empty() ? "" : "\n") + heading + "\n"; }

void write_member(const PlainMember& member, std::string& out) {
  out += key_text(member.key) + " = ";
  if (const PlainList* tables = tables_in(member.value)) {
    out += "[\n";
    for (const PlainValue& one : *tables) out += "  " + std::visit(Inline{}, one.is) + ",\n";
    out += "]\n";
  } else {
    out += std::visit(Inline{}, member.value.is) + "\n";
  }
}

void write_table(const std::string& path, const PlainTable& table, std::string& out) {
  if (has_no_heading(table)) {
    for (const PlainMember& member : table) {
      write_table(path + '.' + key_text(member.key), *table_in(member.value), out);
    }
    return;
  }
  write_heading('[' + path + ']', out);
  for (const PlainMember& member : table) write_member(member, out);
}

}  // namespace

std::string toml_text(const PlainTable& document) {
  const auto may_have_heading = [](const PlainMember& member) {
    return table_in(member.value) != nullptr || tables_in(member.value) != nullptr;
  };
  // What follows a heading belongs to it: no heading stands before the last value that is to have none.
  const auto first = std::find_if_not(document.rbegin(), document.rend(), may_have_heading).base();
  std::string out;
  std::for_each(document.begin(), first, [&](const PlainMember& member) { write_member(member, out); });
  for (const PlainMember& member : std::ranges::subrange(first, document.end())) {
    if (const PlainTable* table = table_in(member.value)) write_table(key_text(member.key), *table, out);
    const PlainList* tables = tables_in(member.value);
    if (tables == nullptr) continue;
    for (const PlainValue& one : *tables) {
      write_heading("[[" + key_text(member.key) + "]]", out);
      for (const PlainMember& inner : *table_in(one)) write_member(inner, out);
    }
  }
  return out;
}

}  // namespace throughcure::exchange
