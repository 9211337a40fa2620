#include "throughcure/exchange/audit_line.hpp"

#include <fstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "support/any_change.hpp"
#include "support/demo_audit_log.hpp"
#include "support/invented_change.hpp"
#include "throughcure/base/write_file.hpp"

namespace throughcure::exchange {
namespace {

std::string problems_of(const std::string& text) {
  base::Problems problems;
  (void)read_audit_line(text, "log", 3, problems);
  return problems.empty() ? "" : base::InputError(problems).what();
}

std::string replaced(std::string text, std::string_view from, std::string_view to) {
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return text.replace(at, from.size(), to);
}

// The file was written by a program of its own, with Python's json, struct and hashlib and with OpenSSL's Ed25519,
// after docs/audit.md: two programs that share nothing agree on every byte.
TEST(AuditLine, TheDemosLogIsWrittenAsAnotherProgramWroteIt) {
  EXPECT_EQ(test::exported(test::demo_changes(), test::demo_key_seed()),
            base::read_file(std::string(THROUGHCURE_SOURCE_DIR) + "/demo/audit-log.jsonl"));
}

RC_GTEST_PROP(AuditLine, OfAChangeIsReadBack, ()) {
  const practice::Change change = test::any_change();
  const std::string text = audit_line(change);
  RC_ASSERT(text.find('\n') == std::string::npos);
  base::Problems problems;
  const AuditLine back = read_audit_line(text, "log", 1, problems);
  RC_ASSERT(problems.empty());
  RC_ASSERT(std::get<practice::Change>(back) == change);
}

TEST(AuditLine, OfAHeadIsReadBack) {
  const practice::SigningKey key(test::demo_key_seed());
  const practice::SignedHead head = practice::signed_head(3, practice::sha256({"r"}), {test::kDemoStartUs}, key);
  base::Problems problems;
  EXPECT_EQ(std::get<practice::SignedHead>(read_audit_line(audit_line(head), "log", 1, problems)), head);
  EXPECT_TRUE(problems.empty());
}

// The largest change there may be, of the bytes that grow most when they are written: it can be read.
TEST(AuditLine, TheLargestChangeFits) {
  practice::Change change = test::invented_change(1);
  change.after = {{"a", std::string(practice::kMostLeafBytes - 200, '\1')}};
  ASSERT_TRUE(practice::problems_with(change).empty());
  EXPECT_EQ(problems_of(audit_line(change)), "");
  change.after.clear();
  for (std::size_t i = 0; i < practice::kMostFields; ++i) {
    change.after.push_back({std::string(90, '\1') + std::to_string(1000 + i), practice::Commitment{}});
  }
  ASSERT_TRUE(practice::problems_with(change).empty());
  EXPECT_EQ(problems_of(audit_line(change)), "");
}

TEST(AuditLine, ChartNumberAndFreeTextAreNotInIt) {
  const std::string log = test::exported(test::demo_changes(), test::demo_key_seed());
  EXPECT_EQ(log.find("004711"), std::string::npos);
  EXPECT_EQ(log.find("misread"), std::string::npos);
}

TEST(AuditLine, WithSaltAndValueARedactedFieldIsProved) {
  base::Problems problems;
  const auto change =
      std::get<practice::Change>(read_audit_line(audit_line(test::demo_changes()[4]), "log", 5, problems));
  ASSERT_EQ(change.after[0].name, "chart");
  const auto commitment = std::get<practice::Commitment>(change.after[0].value);
  EXPECT_TRUE(practice::opens(commitment, test::invented_opening(5, "004711")));
  EXPECT_FALSE(practice::opens(commitment, test::invented_opening(5, "004712")));
}

TEST(AuditLine, WhatIsWrongIsSaid) {
  using testing::HasSubstr;
  const std::string good = audit_line(test::invented_change(1));
  ASSERT_EQ(problems_of(good), "");
  EXPECT_THAT(problems_of("not JSON"), HasSubstr("log:3: the text is no JSON"));
  EXPECT_THAT(problems_of("[]"), HasSubstr("log:3: the document is no object"));
  EXPECT_THAT(problems_of(replaced(good, R"("seconds":"20")", R"("seconds":"40")")),
              HasSubstr("log:3: change 1 does not have the hash"));
  EXPECT_THAT(problems_of(replaced(good, R"("person":"p2",)", "")), HasSubstr("person: it is missing"));
  EXPECT_THAT(problems_of(replaced(good, R"("person":)", R"("extra":1,"person":)")), HasSubstr("extra: no such field"));
  EXPECT_THAT(problems_of(replaced(good, R"("p2")", "2")), HasSubstr("person: it is not a text"));
  EXPECT_THAT(problems_of(replaced(good, R"("change":1)", R"("change":-1)")), HasSubstr("change: -1 is no count"));
  EXPECT_THAT(problems_of(replaced(good, R"("change":1)", R"("change":0)")), HasSubstr("change: 0 is no number"));
  EXPECT_THAT(problems_of(replaced(good, R"("change":1)", R"("change":1.0)")), HasSubstr("not a whole number"));
  EXPECT_THAT(problems_of(replaced(good, "000000Z", "00000Z")), HasSubstr("is no instant"));
  EXPECT_THAT(problems_of(replaced(good, R"("seconds":"20")", R"("seconds":20)")),
              HasSubstr("after.seconds: it is neither a text nor a private value"));
  EXPECT_THAT(problems_of(replaced(good, R"({"private":")", R"({"private":"0)")), HasSubstr("after.chart.private: '"));
  EXPECT_THAT(problems_of(replaced(good, R"("before":{})", R"("before":[])")),
              HasSubstr("before: it is not an object"));
  EXPECT_THAT(problems_of(replaced(good, R"("before":{})", R"("before": {})")),
              HasSubstr("not written as this program"));
  EXPECT_THAT(problems_of(replaced(good, "restoration", "\\u0072estoration")),
              HasSubstr("not written as this program"));
  EXPECT_THAT(problems_of(good + " "), HasSubstr("not written as this program"));
  EXPECT_THAT(problems_of(good + "\r"), HasSubstr("not written as this program"));
  EXPECT_THAT(problems_of(replaced(good, R"("light":"L1","remark")", R"("remark":"","remark")")), HasSubstr("twice"));
  EXPECT_THAT(problems_of(R"({"head":{"format":"another 2"}})"), HasSubstr("head.format: 'another 2' is not"));
  EXPECT_THAT(problems_of(R"({"head":{}})"), HasSubstr("head.signature: it is missing"));
  EXPECT_THAT(problems_of(R"({"head":1})"), HasSubstr("head: it is not an object"));
}

}  // namespace
}  // namespace throughcure::exchange
