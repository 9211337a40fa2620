#include "throughcure/practice/password.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <utility>
#include <vector>

#include <sodium.h>

#include "throughcure/base/hex.hpp"
#include "throughcure/base/utf8.hpp"
#include "throughcure/practice/guesses.hpp"
#include "throughcure/practice/random_bytes.hpp"

namespace throughcure::practice {

namespace {

/// Longest piece that counts as repeated over and over [characters]; chosen here.
constexpr std::size_t kMostRepeatedCharacters = 3;

void make_ready() {
  if (sodium_init() < 0) throw base::Failure("the system gives no random numbers, so no password can be kept");
}

/// A hash as the library takes it: a string that ends with a zero, and none before.
bool could_be_hash(std::string_view hash) {
  return hash.size() < crypto_pwhash_STRBYTES && hash.find('\0') == std::string_view::npos;
}

/// The bytes at which the characters of a text begin, and its end.
std::vector<std::size_t> character_starts(std::string_view text) {
  std::vector<std::size_t> starts;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (base::code_point_count(text.substr(i, 1)) == 1) starts.push_back(i);
  }
  return starts;
}

/// Whether the text is its first one to three characters over and over (the last time perhaps cut short).
bool is_repeated(std::string_view text) {
  const std::vector<std::size_t> starts = character_starts(text);
  for (std::size_t period = 1; period <= kMostRepeatedCharacters && period < starts.size(); ++period) {
    const std::size_t bytes = starts[period];
    if (text.substr(bytes) == text.substr(0, text.size() - bytes)) return true;
  }
  return false;
}

/// Whether every character follows the one before it, up or down; 0 comes after 9, as on a keyboard.
bool is_run(std::string_view text) {
  const auto follows = [](char a, char b) { return b - a == 1 || (a == '9' && b == '0'); };
  const auto precedes = [follows](char a, char b) { return follows(b, a); };
  const auto all = [text](const auto& step) {
    // The first neighbours that are no such step; none in a run.
    return std::adjacent_find(text.begin(), text.end(), [step](char a, char b) { return !step(a, b); }) == text.end();
  };
  return text.size() > 1 && (all(follows) || all(precedes));
}

std::string lower(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return out;
}

/// Context that SP 800-63B, 5.1.1.2 asks to be known as well: the name of the service.
constexpr const char* kService = "throughcure";

base::Problem problem(const char* field, std::string what, std::string remedy) {
  return {{}, 0, 0, field, std::move(what), std::move(remedy)};
}

/// "it has 8 characters, and 12 are the fewest".
base::Problem wrong_count(const char* field, std::size_t count, const std::string& counted, std::size_t fewest,
                          std::size_t most) {
  const bool few = count < fewest;
  return problem(field,
                 "it has " + std::to_string(count) + " " + counted + ", and " + std::to_string(few ? fewest : most) +
                     (few ? " are the fewest" : " are the most"),
                 few ? "Take a longer one" : "Take a shorter one");
}

void add_if_soon_guessed(base::Problems& out, const char* field, std::string_view password,
                         std::string_view sign_in_name, const std::vector<std::string>& names) {
  std::vector<std::string> all = names;
  all.emplace_back(sign_in_name);
  all.emplace_back(kService);
  if (guesses_bits(password, words_of(all)) >= kFewestGuessesBits) return;
  if (guesses_bits(password) < kFewestGuessesBits) {
    out.push_back(problem(field, "it is guessed soon: common words, names, dates or rows of keys make up most of it",
                          "Take a longer one, of several words that have nothing to do with each other"));
  } else {
    out.push_back(problem(field, "it is guessed soon by whoever knows your name, the practice's or this program's",
                          "Take several words that have nothing to do with them or with each other"));
  }
}

}  // namespace

std::string hash_secret(std::string_view secret, HashCost cost) {
  make_ready();
  std::array<char, crypto_pwhash_STRBYTES> text{};
  if (crypto_pwhash_str_alg(text.data(), secret.data(), secret.size(), cost.passes, cost.memory_bytes,
                            crypto_pwhash_ALG_ARGON2ID13) != 0) {
    throw base::Failure("a password could not be hashed: that takes " + std::to_string(cost.memory_bytes >> 20U) +
                        " MiB of memory, which the system did not give. Close other programs and try again.");
  }
  return text.data();
}

bool secret_matches(std::string_view hash, std::string_view secret) {
  make_ready();
  return could_be_hash(hash) && crypto_pwhash_str_verify(std::string(hash).c_str(), secret.data(), secret.size()) == 0;
}

bool needs_new_hash(std::string_view hash, HashCost cost) {
  return !could_be_hash(hash) ||
         crypto_pwhash_str_needs_rehash(std::string(hash).c_str(), cost.passes, cost.memory_bytes) != 0;
}

std::string hash_of_no_secret(HashCost cost) {
  std::array<std::uint8_t, 32> nobody_knows{};
  fill_with_random(nobody_knows);
  return hash_secret(base::hex(nobody_knows), cost);
}

base::Problems password_problems(std::string_view password, std::string_view sign_in_name,
                                 const std::vector<std::string>& names) {
  static constexpr const char* field = "password";
  if (!base::is_utf8(password)) {
    return {problem(field, "it is no text in UTF-8", "Send it as UTF-8, as browsers do")};
  }
  base::Problems out;
  const std::size_t count = base::code_point_count(password);
  if (count < kFewestPasswordCharacters || count > kMostPasswordCharacters) {
    out.push_back(wrong_count(field, count, "characters", kFewestPasswordCharacters, kMostPasswordCharacters));
  }
  if (!password.empty() && lower(password) == lower(sign_in_name)) {
    out.push_back(problem(field, "it is the name to sign in with", "Take words that have nothing to do with the name"));
  }
  if (is_repeated(password)) {
    out.push_back(problem(field, "it is the same few characters over and over", "Take several words instead"));
  }
  if (is_run(password)) {
    out.push_back(problem(field, "it is a run of neighbouring characters", "Take several words instead"));
  }
  if (out.empty()) add_if_soon_guessed(out, field, password, sign_in_name, names);
  return out;
}

base::Problems pin_problems(std::string_view pin) {
  static constexpr const char* field = "pin";
  if (!std::all_of(pin.begin(), pin.end(), [](char c) { return c >= '0' && c <= '9'; })) {
    return {problem(field, "it has something else than the digits 0 to 9", "Take digits only")};
  }
  base::Problems out;
  if (pin.size() < kFewestPinDigits || pin.size() > kMostPinDigits) {
    out.push_back(wrong_count(field, pin.size(), "digits", kFewestPinDigits, kMostPinDigits));
  }
  if (is_repeated(pin)) {
    out.push_back(problem(field, "it is the same few digits over and over", "Take digits in no such order"));
  }
  if (is_run(pin)) out.push_back(problem(field, "it is a run of digits as 123456 is", "Take digits in no such order"));
  return out;
}

}  // namespace throughcure::practice
