#include "throughcure/exchange/json_text.hpp"

#include <algorithm>
#include <cstddef>
#include <utility>
#include <vector>

#include <nlohmann/json.hpp>

#include "throughcure/exchange/field_text.hpp"

namespace throughcure::exchange {

namespace {

constexpr std::size_t kMostBytes = std::size_t{1} << 20;
constexpr std::size_t kMostLevels = 16;
/// In one object: its keys are looked for one by one.
constexpr std::size_t kMostKeys = 1000;

/// Takes the parser's events, as nlohmann's SAX interface wants it: false stops it.
class Builder {
 public:
  Builder(const std::string& name, base::Problems& problems) : name_(name), problems_(problems) {}

  /// What was built, if nothing was wrong.
  std::optional<PlainTable> document() {
    if (failed_ || !whole_) return std::nullopt;
    auto* table = std::get_if<PlainTable>(&whole_->is);
    if (table != nullptr) return std::move(*table);
    refuse("the document is no object", "Send one object, { ... }");
    return std::nullopt;
  }

  bool null() {
    refuse("null is no value here", "Leave the key out");
    return add({false});
  }
  bool boolean(bool flag) { return add({flag}); }
  bool number_integer(std::int64_t number) { return add({number}); }
  bool number_unsigned(std::uint64_t number) {
    if (std::in_range<std::int64_t>(number)) return add({static_cast<std::int64_t>(number)});
    return add({static_cast<double>(number)});
  }
  bool number_float(double number, const std::string& /*text*/) { return add({number}); }
  bool string(std::string& text) { return add({std::move(text)}); }
  bool binary(nlohmann::json::binary_t& /*bytes*/) { return false; }  // JSON has none
  bool start_object(std::size_t /*members*/) { return open({PlainTable{}}); }
  bool start_array(std::size_t /*elements*/) { return open({PlainList{}}); }
  bool end_object() { return close(); }
  bool end_array() { return close(); }
  bool key(std::string& text) {
    const auto& table = std::get<PlainTable>(open_.back().value.is);
    open_.back().key = std::move(text);
    if (std::ranges::any_of(table, [&](const PlainMember& m) { return m.key == open_.back().key; })) {
      refuse("this key stands here twice", "Leave one of the two out");
    }
    if (table.size() < kMostKeys) return true;
    refuse("more than " + std::to_string(kMostKeys) + " keys in one object", "Give fewer");
    return false;
  }
  bool parse_error(std::size_t byte, const std::string& /*token*/, const nlohmann::json::exception& /*error*/) {
    refuse("the text is no JSON that can be used from byte " + std::to_string(byte) + " on",
           "Mend it there; numbers keep within 1e308, text is UTF-8");
    return false;
  }

 private:
  struct Open {
    PlainValue value;
    std::string key{};  ///< of an object: the key whose value comes next
  };

  bool add(PlainValue value) {
    if (open_.empty()) {
      whole_ = std::move(value);
      return true;
    }
    Open& into = open_.back();
    if (auto* list = std::get_if<PlainList>(&into.value.is)) {
      list->push_back(std::move(value));
    } else {
      std::get<PlainTable>(into.value.is).push_back({into.key, std::move(value)});
    }
    return true;
  }
  bool open(PlainValue empty) {
    open_.push_back({std::move(empty)});
    if (open_.size() <= kMostLevels) return true;
    refuse("more than " + std::to_string(kMostLevels) + " levels", "Give a document that is less deep");
    return false;
  }
  bool close() {
    PlainValue value = std::move(open_.back().value);
    open_.pop_back();
    return add(std::move(value));
  }

  /// Where the parser is: "exposure[2].aim".
  [[nodiscard]] std::string field() const {
    std::string path;
    for (const Open& one : open_) {
      if (const auto* list = std::get_if<PlainList>(&one.value.is)) {
        path += '[' + std::to_string(list->size() + 1) + ']';
      } else if (!one.key.empty()) {
        path += (path.empty() ? "" : ".") + one.key;
      }
    }
    return cut_short(std::move(path), kMostFieldBytes);
  }
  void refuse(std::string what, std::string remedy) {
    failed_ = true;
    if (problems_.size() >= 200) return;
    problems_.push_back({.file = name_, .field = field(), .what = std::move(what), .remedy = std::move(remedy)});
  }

  const std::string& name_;
  base::Problems& problems_;
  std::vector<Open> open_;
  std::optional<PlainValue> whole_;
  bool failed_ = false;
};

struct ToJson {
  using Json = nlohmann::ordered_json;
  template <class T>
  Json operator()(const T& value) const {
    return Json(value);
  }
  Json operator()(const PlainList& list) const {
    Json out = Json::array();
    for (const PlainValue& value : list) out.push_back(std::visit(*this, value.is));
    return out;
  }
  Json operator()(const PlainTable& table) const {
    Json out = Json::object();
    for (const PlainMember& member : table) out[member.key] = std::visit(*this, member.value.is);
    return out;
  }
};

}  // namespace

std::optional<PlainTable> parse_json(std::string_view text, const std::string& name, base::Problems& problems) {
  if (text.size() > kMostBytes) {
    problems.push_back({.file = name,
                        .field = "",
                        .what = std::to_string(text.size()) + " bytes is more than the " + std::to_string(kMostBytes) +
                                " that are read",
                        .remedy = "Give a smaller document"});
    return std::nullopt;
  }
  Builder builder(name, problems);
  nlohmann::json::sax_parse(text, &builder);
  return builder.document();
}

std::string json_text(const PlainTable& document) {
  return ToJson{}(document).dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

}  // namespace throughcure::exchange
