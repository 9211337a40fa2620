// How many guesses a password stands, by the words, names and patterns that guessers try first.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace throughcure::practice {

/// Estimated guesses until it is found [bits: the power of 2], after D. L. Wheeler, "zxcvbn: Low-Budget Password
/// Strength Estimation", USENIX Security 2016: common passwords, English words and names, also written backwards or
/// with digits for letters, rows of keys, dates and repetitions count little. `known` are words that whoever guesses
/// knows as well, as names of people and places. Knows English only, and takes every byte above ASCII as chosen at
/// random; looks at what stands before a zero byte only. Takes some 30 ms for 200 characters.
double guesses_bits(std::string_view password, const std::vector<std::string>& known = {});

/// The words of names, in lower case (ASCII letters): each of three bytes and more, and each name in one piece.
std::vector<std::string> words_of(const std::vector<std::string>& names);

}  // namespace throughcure::practice
