// What was there when the records were opened. Our own contract: no outside source.
#include <string>

#include <gtest/gtest.h>

#include "contract/files_at.hpp"
#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/base/base64.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/practice/digest.hpp"
#include "throughcure/store/migrations.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {
namespace {

class FoundAtOpening : public EveryDatabase {
 protected:
  [[nodiscard]] static int newest() { return static_cast<int>(store::migrations().size()); }
};

TEST_P(FoundAtOpening, NothingThenWhatIsThere) {
  const store::Found at_first = store::Store(place()).found();
  EXPECT_EQ(at_first.version_before, 0);
  EXPECT_EQ(at_first.version, newest());
  const store::Found again = store::Store(place()).found();
  EXPECT_EQ(again.version_before, newest());
  EXPECT_EQ(again.orphans, 0U);
}

TEST_P(FoundAtOpening, TablesOfAnEarlierProgram) {
  {
    store::Session session(place());
    store::migrate(session, 4);
  }
  const store::Found found = store::Store(place()).found();
  EXPECT_EQ(found.version_before, 4);
  EXPECT_EQ(found.version, newest());
}

TEST_P(FoundAtOpening, FilesThatNoRecordNames) {
  {
    store::Store records(place());
    const Practice p = open_practice(records);
    records.write(program(), [&](store::Writer& w) { w.attach(paper_of(p), "%PDF-1.7 of the approval"); });
  }
  for (const char* const left : {"one", "another"}) {
    put_instead(place(), base::hex(practice::sha256({left})), left, base::base64(left));
  }
  EXPECT_EQ(store::Store(place()).found().orphans, 2U);
  EXPECT_EQ(files_kept(place()), 1U);
  EXPECT_EQ(store::Store(place()).found().orphans, 0U);
}

INSTANTIATE_TEST_SUITE_P(On, FoundAtOpening, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
