// The leaf read back. No outside source: leaf_bytes is our own encoding, and reading is its inverse.
#include "throughcure/practice/change_reader.hpp"

#include <string>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace throughcure::practice {
namespace {

Change corrected() {
  return {.number = 7,
          .at = {-1},
          .person = "3",
          .kind = "reading",
          .record = "12",
          .before = {{"note", commit({Salt{}, "text"})}, {"shown_mw_cm2", "950"}},
          .after = {{"shown_mw_cm2", "590"}, {"unit", ""}}};
}

TEST(ChangeReader, GivesTheChangeBack) {
  EXPECT_EQ(change_from_leaf(leaf_bytes(corrected())), corrected());
  const Change least{.number = 1, .at = {}, .person = "program", .kind = "site", .record = "1"};
  EXPECT_EQ(change_from_leaf(leaf_bytes(least)), least);
}

TEST(ChangeReader, TakesNothingThatIsCutOrLonger) {
  const std::string leaf = leaf_bytes(corrected());
  for (std::size_t n = 0; n < leaf.size(); ++n) EXPECT_FALSE(change_from_leaf(leaf.substr(0, n)).has_value()) << n;
  EXPECT_FALSE(change_from_leaf(leaf + '\0').has_value());
}

RC_GTEST_PROP(ChangeReader, WhatItTakesIsTheLeafOfWhatItGives, ()) {
  std::string leaf = leaf_bytes(corrected());
  const auto at = *rc::gen::inRange<std::size_t>(0, leaf.size());
  leaf[at] = static_cast<char>(*rc::gen::inRange(0, 256));
  if (const auto change = change_from_leaf(leaf)) RC_ASSERT(leaf_bytes(*change) == leaf);
}

}  // namespace
}  // namespace throughcure::practice
