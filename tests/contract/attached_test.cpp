// What attached files owe in either database. No outside source: our own contract.
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "contract/files_at.hpp"
#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/base/base64.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/practice/digest.hpp"
#include "throughcure/practice/kept_file.hpp"

namespace throughcure::tests {
namespace {

using testing::HasSubstr;

/// A paper with every byte in it, longer than one part of the table.
std::string paper() {
  std::string bytes = "%PDF-1.7\n";
  for (int i = 0; i < 1'200'000; ++i) bytes += static_cast<char>(i * 7 + i / 256);
  return bytes;
}

std::string hash_of(const std::string& bytes) { return base::hex(practice::sha256({bytes})); }

class Attached : public EveryDatabase {
 protected:
  Attached() : records_(place()), p_(open_practice(records_)) {}
  base::AttachmentId attach(const std::string& bytes) { return attach(paper_of(p_), bytes); }
  base::AttachmentId attach(const practice::Attachment& about, const std::string& bytes) {
    base::AttachmentId id;
    records_.write(program(), [&](store::Writer& w) { id = w.attach(about, bytes); });
    return id;
  }
  std::string file(base::AttachmentId id) {
    std::string bytes;
    records_.read([&](const store::Reader& r) { bytes = r.file(id); });
    return bytes;
  }
  std::string told_of(base::AttachmentId id) {
    try {
      file(id);
    } catch (const base::Failure& e) {
      return e.what();
    }
    return "nothing";
  }
  store::Store records_;
  Practice p_;
};

TEST_P(Attached, ComesBackWithWhatItsBytesSay) {
  practice::Attachment about = paper_of(p_);
  about.media = practice::MediaType::kPng;
  about.size = 7;
  about.sha256 = "made up";
  const base::AttachmentId id = attach(about, paper());
  EXPECT_TRUE(file(id) == paper());
  about.media = practice::MediaType::kPdf;
  about.size = static_cast<std::int64_t>(paper().size());
  about.sha256 = hash_of(paper());
  records_.read([&](const store::Reader& r) { EXPECT_EQ(r.get<practice::Attachment>(id)->record, about); });
  EXPECT_THROW(file({77}), base::InputError);
}

TEST_P(Attached, TheSameBytesAreKeptOnce) {
  const base::AttachmentId first = attach(paper());
  const base::AttachmentId second = attach(paper());
  EXPECT_NE(first, second);
  EXPECT_EQ(files_kept(place()), 1U);
  EXPECT_TRUE(file(second) == paper());
}

TEST_P(Attached, TheLargestComesBackAndALargerIsRefused) {
  std::string largest = "\xff\xd8\xff";
  largest.resize(25'000'000, '\x80');
  EXPECT_TRUE(file(attach(largest)) == largest);
  EXPECT_THROW(attach(largest + "x"), base::InputError);
  EXPECT_THROW(attach("<html>"), base::InputError);
  EXPECT_THROW(attach(""), base::InputError);
  EXPECT_EQ(files_kept(place()), 1U);
}

TEST_P(Attached, OnlyToARecordThatIsThere) {
  practice::Attachment about = paper_of(p_);
  about.record = 4711;
  EXPECT_THROW(attach(about, paper()), base::InputError);
  for (const char* kind : {"", "lamp", "secret", "light; DROP TABLE light"}) {
    about = paper_of(p_);
    about.belongs_to = kind;
    EXPECT_THROW(attach(about, paper()), base::InputError) << kind;
  }
  EXPECT_EQ(files_kept(place()), 0U) << "bytes were kept before it was known what for";
}

TEST_P(Attached, OrphansGoAtTheStartAndNamedFilesStay) {
  const base::AttachmentId id = attach(paper());
  const std::string other = "%PDF-1.4 corrected";
  const base::AttachmentId corrected = attach(other);
  // A revision that names other bytes does not let the first ones go.
  records_.write(program(), [&](store::Writer& w) {
    practice::Attachment record = w.get<practice::Attachment>(corrected)->record;
    record.sha256 = hash_of(paper());
    w.correct(corrected, 1, record);
  });
  put_instead(place(), hash_of("lost"), "lost", base::base64("lost"));
  EXPECT_EQ(files_kept(place()), 3U);
  records_ = store::Store(place());
  EXPECT_EQ(files_kept(place()), 2U);
  EXPECT_TRUE(file(id) == paper());
  records_.write(program(), [&](store::Writer& w) {
    practice::Attachment record = w.get<practice::Attachment>(corrected)->record;
    record.sha256 = hash_of(other);
    w.correct(corrected, 2, record);
  });
  EXPECT_EQ(file(corrected), other);
}

TEST_P(Attached, NothingIsKeptOfAWriteThatFails) {
  try {
    records_.write(program(), [&](store::Writer& w) {
      w.attach(paper_of(p_), paper());
      throw base::Failure("no");
    });
  } catch (const base::Failure&) {  // NOLINT(bugprone-empty-catch): it was to fail
  }
  records_.read([&](const store::Reader& r) { EXPECT_TRUE(r.list<practice::Attachment>().empty()); });
  records_ = store::Store(place());
  EXPECT_EQ(files_kept(place()), 0U);
}

TEST_P(Attached, AFlippedByteIsToldAndMendedByTheSameBytes) {
  const std::string bytes = "%PDF-1.7 of old";
  const base::AttachmentId id = attach(bytes);
  std::string flipped = bytes;
  flipped[10] ^= 1;
  for (const std::string& left : {flipped, bytes.substr(0, 9), bytes + "x"}) {
    put_instead(place(), hash_of(bytes), left, base::base64(left));
    EXPECT_THAT(told_of(id), HasSubstr("Attach the same file again"));
    attach(bytes);
    EXPECT_EQ(told_of(id), "nothing");
  }
  if (GetParam() == "server") {
    put_instead(place(), hash_of(bytes), {}, "no base64!");
    EXPECT_THAT(told_of(id), HasSubstr("Attach the same file again"));
  }
}

TEST_P(Attached, FilesOfCasesAreKeptOnceAndStay) {
  const std::string spectrum = "wavelength_nm,relative\n455,1\n";
  std::string hash;
  records_.write(program(), [&](store::Writer& w) {
    hash = w.keep_file("lights/lamp/spectrum.csv", spectrum);
    EXPECT_EQ(w.keep_file("lights/lamp/spectrum.csv", spectrum), hash);
    EXPECT_EQ(w.keep_file("lights/other/spectrum.csv", spectrum), hash) << "the same bytes under another path";
    w.keep_file("empty.csv", "");
  });
  EXPECT_EQ(hash, hash_of(spectrum));
  EXPECT_EQ(files_kept(place()), GetParam() == "server" ? 1U : 2U) << "no bytes are no part of the table";
  records_ = store::Store(place());
  records_.read([&](const store::Reader& r) {
    EXPECT_EQ(r.kept_file(hash), spectrum);
    EXPECT_EQ(r.kept_file(hash_of("")), "");
    EXPECT_EQ(r.list<practice::KeptFile>().size(), 3U);
    EXPECT_THROW((void)r.kept_file(hash_of("never kept")), base::InputError);
    EXPECT_THROW((void)r.kept_file("no hash"), base::InputError);
  });
  put_instead(place(), hash, "rotten", base::base64("rotten"));
  records_.read([&](const store::Reader& r) { EXPECT_THROW((void)r.kept_file(hash), base::Failure); });
  records_.write(program(), [&](store::Writer& w) { w.keep_file("lights/lamp/spectrum.csv", spectrum); });
  records_.read([&](const store::Reader& r) { EXPECT_EQ(r.kept_file(hash), spectrum); });
}

TEST_P(Attached, NewRecordsDoNotTakeOverFilesThatOthersLeft) {
  if (GetParam() == "server") GTEST_SKIP() << "its files are in the database";
  attach(paper());
  const std::filesystem::path other = std::get<store::InFile>(place()).path.parent_path() / "other.db";
  try {
    const store::Store records(store::InFile{other});
    FAIL() << "other records would sweep these files";
  } catch (const base::Failure& e) {
    EXPECT_THAT(e.what(), HasSubstr("Put the records back"));
  }
  EXPECT_EQ(files_kept(place()), 1U);
}

INSTANTIATE_TEST_SUITE_P(On, Attached, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
