// A struct told once: columns, values and back. No outside source: this is our own contract.
#include "throughcure/base/record.hpp"

#include <gtest/gtest.h>

#include "throughcure/base/base64.hpp"

namespace throughcure::base {

enum class Colour : std::uint8_t { kViolet, kBlue };
template <>
struct Words<Colour> {
  static constexpr std::array<std::string_view, 2> words = {"violet", "blue"};
};

namespace {

struct Sample {
  using Kind = LightKind;
  std::string name;
  std::optional<RoomId> room;
  double share = 0;
  bool lit = false;
  Colour colour = Colour::kViolet;
  std::optional<std::string> note;
  static constexpr auto fields() {
    return std::tuple{field("name", &Sample::name),     field("room", &Sample::room),
                      field("share", &Sample::share),   field("lit", &Sample::lit),
                      field("colour", &Sample::colour), field("note", &Sample::note, Privacy::kPrivate)};
  }
  friend bool operator==(const Sample&, const Sample&) = default;
};

TEST(Record, TellsItsColumns) {
  const std::vector<Column> columns = columns_of<Sample>();
  ASSERT_EQ(columns.size(), 6U);
  EXPECT_EQ(columns[0], (Column{"name", ValueType::kText, false, false, ""}));
  EXPECT_EQ(columns[1], (Column{"room", ValueType::kWhole, true, false, "room"}));
  EXPECT_EQ(columns[2].type, ValueType::kReal);
  EXPECT_EQ(columns[3].meaning, Meaning::kYesNo);
  EXPECT_EQ(columns[4].type, ValueType::kText);
  EXPECT_TRUE(std::ranges::equal(columns[4].words, std::vector<std::string_view>{"violet", "blue"}));
  EXPECT_EQ(columns[5], (Column{"note", ValueType::kText, true, true, ""}));
  EXPECT_EQ(kind_of<Sample>(), "light");
}

TEST(Record, ComesBackFromItsValues) {
  const Sample full{"a", RoomId{4}, 0.1, true, Colour::kBlue, "n"};
  EXPECT_EQ(record_of<Sample>(values_of(full)), full);
  EXPECT_EQ(record_of<Sample>(values_of(Sample{})), Sample{});
  EXPECT_EQ(values_of(full)[4], Value{std::string("blue")});
}

TEST(Record, ValuesThatAreNoneOfItsOwnAreRefused) {
  const auto with = [](std::size_t column, const Value& value) {
    std::vector<Value> values = values_of(Sample{});
    values.at(column) = value;
    return values;
  };
  EXPECT_THROW(record_of<Sample>(with(0, std::int64_t{1})), Failure);
  EXPECT_THROW(record_of<Sample>(with(0, {})), Failure) << "nothing where something must be";
  EXPECT_THROW(record_of<Sample>(with(3, std::int64_t{2})), Failure);
  EXPECT_THROW(record_of<Sample>(with(4, std::string("green"))), Failure);
  EXPECT_THROW(record_of<Sample>(std::vector<Value>{}), Failure);
}

// The words of RFC 4648, section 10.
TEST(Base64, ReadsWhatItWrites) {
  for (const char* text : {"", "f", "fo", "foo", "foob", "fooba", "foobar"}) EXPECT_EQ(from_base64(base64(text)), text);
  EXPECT_EQ(from_base64("Zm9vYg=="), "foob");
  for (const char* text : {"Zm9vYg", "Zm9v!g==", "Zm9vYg==Zm9v", "Zm9 vYg=="}) EXPECT_FALSE(from_base64(text)) << text;
}

}  // namespace
}  // namespace throughcure::base
