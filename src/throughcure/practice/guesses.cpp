#include "throughcure/practice/guesses.hpp"

#include <zxcvbn.h>

namespace throughcure::practice {

namespace {

constexpr std::size_t kLeastWord = 3;  // bytes: shorter ones are in half of all words

/// Letters, digits, and the bytes of other alphabets.
bool is_of_a_word(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
         static_cast<unsigned char>(c) > 0x7F;
}

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

}  // namespace

double guesses_bits(std::string_view password, const std::vector<std::string>& known) {
  std::vector<const char*> words;
  words.reserve(known.size() + 1);
  for (const std::string& word : known) words.push_back(word.c_str());
  words.push_back(nullptr);
  return ZxcvbnMatch(std::string(password).c_str(), words.data(), nullptr);
}

std::vector<std::string> words_of(const std::vector<std::string>& names) {
  std::vector<std::string> words;
  const auto take = [&](const std::string& word) {
    if (word.size() >= kLeastWord) words.push_back(word);
  };
  for (const std::string& name : names) {
    std::string whole;
    std::string word;
    for (const char c : name) {
      if (is_of_a_word(c)) {
        whole += lower(c);
        word += lower(c);
        continue;
      }
      take(word);
      word.clear();
    }
    take(word);
    if (whole != word) take(whole);
  }
  return words;
}

}  // namespace throughcure::practice
