#include "throughcure/exchange/audit_check.hpp"

#include <algorithm>
#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "support/demo_audit_log.hpp"
#include "support/invented_change.hpp"
#include "throughcure/exchange/audit_line.hpp"
#include "throughcure/practice/merkle.hpp"

namespace throughcure::exchange {
namespace {

using practice::Change;
using practice::KeySeed;
using testing::HasSubstr;

const KeySeed kPracticeSeed = test::demo_key_seed();

practice::PublicKey key_of(const KeySeed& seed) { return practice::SigningKey(seed).public_key(); }

KeySeed forgers_seed() {
  KeySeed seed{};
  seed.fill(9);
  return seed;
}

AuditReport check(const std::string& log, const AuditQuestion& question = {}) {
  std::istringstream in(log);
  return check_audit_log(in, "log", question, {});
}

/// Every sentence.
std::string said(const AuditReport& report) {
  return report.problems.empty() ? "" : base::InputError(report.problems).what();
}

/// Whether the checker lets it pass.
bool passes(const std::string& log, const AuditQuestion& question = {}) {
  try {
    return check(log, question).answer != AuditAnswer::kAltered;
  } catch (const base::InputError&) {
    return false;
  }
}

/// What a report printed after `size` of these changes says.
PrintedRoot paper(const std::vector<Change>& changes, std::size_t size) {
  practice::RightEdge edge;
  for (std::size_t i = 0; i < size; ++i) edge.append(practice::leaf_hash(practice::leaf_bytes(changes.at(i))));
  return {size, edge.root()};
}

std::vector<std::string> lines_of(const std::string& log) {
  std::vector<std::string> lines;
  std::istringstream in(log);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::string log_of(const std::vector<std::string>& lines) {
  std::string log;
  for (const std::string& line : lines) log += line + '\n';
  return log;
}

std::string sound_log(std::uint64_t changes) { return test::exported(test::invented_changes(changes), kPracticeSeed); }

// None, one, and around powers of two, where the tree's right edge has its odd shapes.
TEST(AuditCheck, ASoundLogOfAnySizeIsIntact) {
  for (const std::uint64_t size : {0U, 1U, 2U, 3U, 4U, 5U, 7U, 8U, 9U, 31U, 32U, 33U, 127U, 128U, 129U}) {
    const std::vector<Change> changes = test::invented_changes(size);
    const std::string log = test::exported(changes, kPracticeSeed);
    EXPECT_EQ(check(log).answer, AuditAnswer::kConsistent) << size;
    EXPECT_EQ(check(log).vouched, 0U) << size;
    EXPECT_EQ(check(log, {.key = key_of(kPracticeSeed)}).answer, AuditAnswer::kIntact) << size;
    EXPECT_EQ(check(log, {.key = key_of(kPracticeSeed)}).vouched, size);
    for (std::size_t printed = 0; printed <= size; ++printed) {
      const AuditReport report = check(log, {.paper = paper(changes, printed)});
      // What came after the paper is vouched for by nothing.
      ASSERT_EQ(report.answer, printed == size ? AuditAnswer::kIntact : AuditAnswer::kConsistent)
          << printed << " of " << size << '\n'
          << said(report);
      EXPECT_EQ(report.vouched, printed);
      EXPECT_EQ(report.changes, size);
      EXPECT_EQ(report.root, report.head->head.root);
    }
  }
}

TEST(AuditCheck, TruncationIsSeen) {
  const std::string log = sound_log(9);
  std::vector<std::string> lines = lines_of(log);
  // The head is gone.
  lines.pop_back();
  EXPECT_THAT(said(check(log_of(lines))), HasSubstr("log:9: the signed head is missing"));
  // The last change is gone and the head stayed.
  lines = lines_of(log);
  lines.erase(lines.begin() + 8);
  EXPECT_THAT(said(check(log_of(lines))), HasSubstr("log:9: the head was signed over 9 changes, and 8 are here"));
  // Anywhere in the middle of a line.
  for (std::size_t bytes = 0; bytes < log.size(); ++bytes) ASSERT_FALSE(passes(log.substr(0, bytes))) << bytes;
}

// Cut and signed again by the holder of the key: only paper tells.
TEST(AuditCheck, ATruncatedLogThatIsSignedAgainIsSeenOnPaper) {
  const std::vector<Change> changes = test::invented_changes(9);
  const std::string cut = test::exported(test::invented_changes(7), kPracticeSeed);
  EXPECT_TRUE(passes(cut, {.key = key_of(kPracticeSeed)}));
  const AuditReport report = check(cut, {.key = key_of(kPracticeSeed), .paper = paper(changes, 8)});
  EXPECT_EQ(report.answer, AuditAnswer::kAltered);
  EXPECT_THAT(said(report), HasSubstr("the paper speaks of 8 changes, this file has only 7"));
}

TEST(AuditCheck, ReorderingIsSeen) {
  std::vector<std::string> lines = lines_of(sound_log(9));
  std::swap(lines[3], lines[4]);
  const std::string text = said(check(log_of(lines)));
  EXPECT_THAT(text, HasSubstr("log:4: change 5 stands where change 4 should"));
  EXPECT_THAT(text, HasSubstr("log:10: the changes do not add up to the root that was signed"));
}

RC_GTEST_PROP(AuditCheck, AnyOtherOrderIsSeen, ()) {
  const std::vector<std::string> lines = lines_of(sound_log(*rc::gen::inRange<std::uint64_t>(1, 12)));
  std::vector<std::string> other = lines;
  const auto from = *rc::gen::inRange<std::size_t>(0, lines.size());
  const auto to = *rc::gen::inRange<std::size_t>(0, lines.size());
  std::swap(other[from], other[to]);
  RC_ASSERT(passes(log_of(other)) == (from == to));
}

TEST(AuditCheck, ALineThatIsThereTwiceIsSeen) {
  std::vector<std::string> lines = lines_of(sound_log(9));
  lines.insert(lines.begin() + 5, lines[4]);
  EXPECT_THAT(said(check(log_of(lines))),
              HasSubstr("log:6: change 5 stands where change 6 should: it stands here twice"));
}

TEST(AuditCheck, ALineThatWasTakenOutIsSeenOnce) {
  std::vector<std::string> lines = lines_of(sound_log(60));
  lines.erase(lines.begin() + 4);
  const AuditReport report = check(log_of(lines));
  EXPECT_THAT(said(report), HasSubstr("log:5: change 6 stands where change 5 should: what is between was taken out"));
  EXPECT_EQ(report.faults, 2U);  // that, and the head's count
}

TEST(AuditCheck, ALineThatCannotBeReadIsNamed) {
  std::vector<std::string> lines = lines_of(sound_log(9));
  lines[4] = "{";
  const AuditReport report = check(log_of(lines), {.paper = paper(test::invented_changes(9), 8)});
  EXPECT_THAT(said(report), HasSubstr("log:5: the text is no JSON"));
  EXPECT_THAT(said(report), HasSubstr("so the root on paper cannot be compared"));
  EXPECT_FALSE(report.root);
}

// Every byte of a log in turn, and any other value for it.
RC_GTEST_PROP(AuditCheck, OneByteAnywhereIsSeen, ()) {
  static const std::string log = test::exported(test::demo_changes(), kPracticeSeed);
  std::string other = log;
  const auto at = *rc::gen::inRange<std::size_t>(0, log.size());
  const auto value = *rc::gen::arbitrary<char>();
  other[at] = value;
  RC_ASSERT(passes(other) == (value == log[at]));
}
TEST(AuditCheck, EveryByteTurnedIsSeen) {
  const std::string log = test::exported(test::demo_changes(), kPracticeSeed);
  for (std::size_t at = 0; at < log.size(); ++at) {
    for (const unsigned bit : {0x01U, 0x20U, 0x80U}) {
      std::string other = log;
      other[at] = static_cast<char>(static_cast<unsigned char>(other[at]) ^ bit);
      ASSERT_FALSE(passes(other)) << "byte " << at << " is '" << other[at] << "'";
    }
  }
}
RC_GTEST_PROP(AuditCheck, OneByteMoreOrLessIsSeen, ()) {
  static const std::string log = test::exported(test::demo_changes(), kPracticeSeed);
  std::string other = log;
  if (*rc::gen::arbitrary<bool>()) {
    other.erase(*rc::gen::inRange<std::size_t>(0, log.size()), 1);
  } else {
    other.insert(*rc::gen::inRange<std::size_t>(0, log.size() + 1), 1, *rc::gen::arbitrary<char>());
  }
  RC_ASSERT(!passes(other));
}

TEST(AuditCheck, AnAlteredChangeIsNamedByItsLine) {
  std::vector<std::string> lines = lines_of(sound_log(9));
  const std::size_t at = lines[4].find(R"("seconds":"20")");
  lines[4].replace(at, 14, R"("seconds":"40")");
  const AuditReport report = check(log_of(lines));
  EXPECT_EQ(report.answer, AuditAnswer::kAltered);
  EXPECT_THAT(said(report), HasSubstr("log:5: change 5 does not have the hash that stands at the end of its line"));
}

// With its own hash mended too.
TEST(AuditCheck, AnAlteredChangeWithItsHashIsSeenInTheRoot) {
  const std::vector<Change> changes = test::invented_changes(9);
  std::vector<std::string> lines = lines_of(test::exported(changes, kPracticeSeed));
  Change forged = changes[4];
  forged.person = "p9";
  lines[4] = audit_line(forged);
  EXPECT_THAT(said(check(log_of(lines))), HasSubstr("log:10: the changes do not add up to the root that was signed"));
  // And paper says up to where.
  EXPECT_THAT(said(check(log_of(lines), {.paper = paper(changes, 6)})),
              HasSubstr("log:6: changes 1 to 6 are not those whose root is on paper"));
  EXPECT_THAT(said(check(log_of(lines), {.paper = paper(changes, 4)})), Not(HasSubstr("paper")));
}

// The head's root mended too, but not its signature.
TEST(AuditCheck, ARehashWithoutAKeyIsSeen) {
  std::vector<Change> changes = test::invented_changes(9);
  const std::string sound = test::exported(changes, kPracticeSeed);
  changes[4].person = "p9";
  std::vector<std::string> lines = lines_of(test::exported(changes, kPracticeSeed));
  base::Problems problems;
  auto head = std::get<practice::SignedHead>(read_audit_line(lines.back(), "log", 10, problems));
  head.signature =
      std::get<practice::SignedHead>(read_audit_line(lines_of(sound).back(), "log", 10, problems)).signature;
  lines.back() = audit_line(head);
  EXPECT_THAT(said(check(log_of(lines))), HasSubstr("log:10: the head does not have the signature of the key"));
}

// Everything written anew, with a key of the forger's own: consistent, and seen by whoever has the key or the paper.
TEST(AuditCheck, AFullRehashIsSeenByKeyAndByPaper) {
  const std::vector<Change> true_changes = test::invented_changes(9);
  std::vector<Change> changes = true_changes;
  changes[4].person = "p9";
  const std::string forged = test::exported(changes, forgers_seed());
  EXPECT_EQ(check(forged).answer, AuditAnswer::kConsistent);  // and never "intact"
  const AuditReport by_key = check(forged, {.key = key_of(kPracticeSeed)});
  EXPECT_EQ(by_key.answer, AuditAnswer::kAltered);
  EXPECT_THAT(said(by_key), HasSubstr("log:10: the head was signed with another key than the one you gave"));
  const AuditReport by_paper = check(forged, {.paper = paper(true_changes, 8)});
  EXPECT_EQ(by_paper.answer, AuditAnswer::kAltered);
  EXPECT_THAT(said(by_paper), HasSubstr("log:8: changes 1 to 8 are not those whose root is on paper"));
  // By the holder of the key: only paper tells.
  const std::string by_the_practice = test::exported(changes, kPracticeSeed);
  EXPECT_EQ(check(by_the_practice, {.key = key_of(kPracticeSeed)}).answer, AuditAnswer::kIntact);
  EXPECT_EQ(check(by_the_practice, {.paper = paper(true_changes, 8)}).answer, AuditAnswer::kAltered);
}

TEST(AuditCheck, LinesAfterTheHeadAreSeen) {
  const std::string log = sound_log(3);
  EXPECT_THAT(said(check(log + audit_line(test::invented_change(4)) + '\n')),
              HasSubstr("log:5: lines stand after the head"));
  EXPECT_THAT(said(check(log + lines_of(log).back() + '\n')), HasSubstr("log:5: lines stand after the head"));
  EXPECT_FALSE(passes(log + '\n'));
}

// What is wrong with the whole is said, however many lines are wrong.
TEST(AuditCheck, ManyFaultsAreCountedAndTheWeightyOnesSaid) {
  std::vector<std::string> lines = lines_of(sound_log(100));
  for (std::size_t i = 0; i < 50; ++i) lines[i] += ' ';
  lines.erase(lines.begin() + 70);
  const AuditReport report = check(log_of(lines), {.key = key_of(forgers_seed())});
  EXPECT_EQ(report.faults, 53U);
  EXPECT_EQ(report.problems.size(), kMostAuditProblems + 2);
  EXPECT_THAT(said(report), HasSubstr("another key"));
}

TEST(AuditCheck, AClockThatWentBackIsNoAlteration) {
  std::vector<Change> changes = test::invented_changes(3);
  std::swap(changes[0].at, changes[1].at);
  changes[2].at.us += std::int64_t{86'400'000'000};
  const AuditReport report = check(test::exported(changes, kPracticeSeed), {.key = key_of(kPracticeSeed)});
  EXPECT_EQ(report.answer, AuditAnswer::kIntact);
  EXPECT_THAT(report.notes,
              testing::ElementsAre("1 change is dated before the one above: the clock was set back, or ran wrong.",
                                   "The head is dated before the last change: the clock was set back, or ran wrong."));
}

TEST(AuditCheck, WhatIsNoAuditLogIsRefused) {
  EXPECT_THROW((void)check(""), base::InputError);
  EXPECT_THROW((void)check("\n\n"), base::InputError);
  EXPECT_THROW((void)check("distance_mm;irradiance_mw_cm2\n0;1000\n"), base::InputError);
  EXPECT_THROW((void)check(std::string(3'000'000, '{')), base::InputError);
}

TEST(AuditCheck, CanBeStopped) {
  const std::stop_source stop;
  stop.request_stop();
  std::istringstream in(sound_log(3));
  EXPECT_THROW((void)check_audit_log(in, "log", {}, {.stop = stop.get_token()}), base::Interrupted);
}

TEST(AuditExport, RefusesAGap) {
  std::ostringstream out;
  AuditExport log(out);
  log.add(test::invented_change(1));
  EXPECT_THROW(log.add(test::invented_change(3)), base::Failure);
  EXPECT_THROW(log.add(test::invented_change(1)), base::Failure);
  Change unfit = test::invented_change(2);
  unfit.person.clear();
  EXPECT_THROW(log.add(unfit), base::InputError);
  EXPECT_NO_THROW(log.add(test::invented_change(2)));
  log.finish({0}, practice::SigningKey(kPracticeSeed));
  EXPECT_TRUE(passes(out.str()));
}

TEST(AuditExport, SaysThatItCannotBeWritten) {
  std::ostringstream out;
  out.setstate(std::ios::badbit);
  AuditExport log(out);
  EXPECT_THROW(log.add(test::invented_change(1)), base::Failure);
}

}  // namespace
}  // namespace throughcure::exchange
