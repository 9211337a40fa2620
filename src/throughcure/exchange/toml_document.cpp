#include "throughcure/exchange/toml_document.hpp"

#include <cstddef>

#include "throughcure/base/write_file.hpp"
#include "throughcure/exchange/toml_depth.hpp"
#include "throughcure/exchange/toml_plain.hpp"
#include "throughcure/exchange/toml_state.hpp"
#include "throughcure/exchange/toml_text.hpp"

namespace throughcure::exchange {

namespace {

constexpr std::size_t kMostBytes = std::size_t{1} << 20;
/// In one key. toml++ takes its tables down by recursion: a key of a hundred thousand parts would end the program.
constexpr std::size_t kMostDots = 32;

}  // namespace

TomlDocument TomlDocument::open(const std::filesystem::path& path) {
  try {
    return parse(base::read_file(path, kMostBytes), path.string(), path.parent_path());
  } catch (const base::InputError& error) {
    auto state = std::make_shared<TomlState>(path.string(), std::filesystem::path{}, Notation::kToml);
    for (const base::Problem& problem : error.problems()) state->add(problem);
    state->take_unreadable();
    return TomlDocument(std::move(state));
  }
}

TomlDocument TomlDocument::parse(std::string_view text, std::string name, std::filesystem::path folder) {
  return parse_into(std::make_shared<TomlState>(std::move(name), std::move(folder), Notation::kToml), text);
}

TomlDocument TomlDocument::of_json(const PlainTable& document, std::string name, std::filesystem::path folder) {
  return parse_into(std::make_shared<TomlState>(std::move(name), std::move(folder), Notation::kJson),
                    toml_text(document));
}

TomlDocument TomlDocument::parse_into(std::shared_ptr<TomlState> state, std::string_view text) {
  const auto unreadable = [&](const toml::source_region& source, std::string what, std::string remedy) {
    state->add(source, "", std::move(what), std::move(remedy));
    state->take_unreadable();
    return TomlDocument(std::move(state));
  };
  if (text.size() > kMostBytes) {
    return unreadable(
        {}, std::to_string(text.size()) + " bytes is more than the " + std::to_string(kMostBytes) + " that are read",
        "Give a smaller file");
  }
  if (const std::size_t dots = most_dots_of_a_key(text); dots > kMostDots) {
    return unreadable({}, "a key of " + std::to_string(dots + 1) + " parts is too deep", "Give shorter keys");
  }
  toml::parse_result result = toml::parse(text);
  if (!result) {
    return unreadable(result.error().source(), std::string(result.error().description()),
                      "Mend the line; the file is TOML: key = value under [table] headings");
  }
  state->take(std::move(result).table());
  return TomlDocument(std::move(state));
}

TomlTable TomlDocument::root() const { return {state_, 0}; }

const base::Problems& TomlDocument::problems() const { return state_->problems(); }

PlainTable TomlDocument::plain() const { return plain_table(*state_); }

base::Problems TomlDocument::finish() {
  state_->add_unused();
  return state_->problems();
}

}  // namespace throughcure::exchange
