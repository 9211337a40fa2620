// Where a light was, by its record and by what was noted of it. No outside source: our own contract.
#include "throughcure/desk/light_rooms.hpp"

#include <chrono>
#include <cstdint>
#include <optional>
#include <vector>

#include <gtest/gtest.h>

#include "service/scratch_folder.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/practice/person.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {
namespace {

constexpr base::Instant kMonday{1'767'600'000'000'000};  // 2026-01-05T08:00Z
constexpr base::LightId kLamp{1};

base::Instant day(int count) { return kMonday + std::chrono::hours(24 * count); }

class LightRoomsTest : public testing::Test {
 protected:
  LightRoomsTest() {
    records_.write({"program", day(0)}, [&](store::Writer& w) {
      const base::SiteId site = w.add(practice::Site{"Harbour street", "Europe/Lisbon"});
      person_ = w.add(practice::Person{"Marta Vint", practice::Role::kLead, site, true, true});
      for (const char* name : {"Room 1", "Room 2", "Room 3"}) w.add(practice::Room{site, name});
      w.add(fleet::LightEntry{.room = {1},
                              .name = "Lamp",
                              .serial = "K-1",
                              .claimed_mw_cm2 = {},
                              .approval_number = {},
                              .approved_by = {},
                              .bought_in = {},
                              .warranty_until = {},
                              .accepted_at = {},
                              .withdrawn_at = {}});
    });
  }

  /// Another room of its own from that day on.
  void move(std::int64_t room, int on) {
    correct(on, [&](fleet::LightEntry& light) { light.room = {room}; });
  }
  template <class Change>
  void correct(int on, const Change& change) {
    records_.write({"program", day(on)}, [&](store::Writer& w) {
      const auto kept = w.get<fleet::LightEntry>(kLamp).value();
      fleet::LightEntry light = kept.record;
      change(light);
      w.correct(kLamp, kept.revision, light);
    });
  }
  void note(fleet::Deed what, int on, std::optional<base::RoomId> room = {}) {
    records_.write({"program", day(20)}, [&](store::Writer& w) {
      w.add(fleet::ServicingEntry{
          .light = kLamp, .at = day(on), .told_by = person_, .what = what, .room = room, .note = {}});
    });
  }
  /// The room of each of these days.
  std::vector<std::int64_t> rooms(const std::vector<int>& days) {
    std::vector<std::int64_t> found;
    records_.read([&](const store::Reader& reader) {
      const desk::LightRooms of_lights(reader);
      for (const int one : days) found.push_back(of_lights.at(kLamp, day(one)).value_or(base::RoomId{0}).number);
    });
    return found;
  }

  ScratchFolder folder_;
  store::Store records_{store::InFile{folder_.path() / "records.db"}};
  base::PersonId person_;
};

using Rooms = std::vector<std::int64_t>;

TEST_F(LightRoomsTest, ItsOwnRoomIsTheOneThatItHadThen) {
  EXPECT_EQ(rooms({-9, 0, 9}), (Rooms{1, 1, 1})) << "before it was kept: where it was kept first";
  move(2, 3);
  correct(4, [](fleet::LightEntry& light) { light.name = "Another name"; });
  move(1, 6);
  EXPECT_EQ(rooms({-9, 2, 3, 4, 5, 6, 9}), (Rooms{1, 1, 2, 2, 2, 1, 1}));
  records_.read([](const store::Reader& reader) {
    EXPECT_EQ(desk::LightRooms(reader).at({99}, day(0)), std::nullopt) << "there is no such light";
  });
}

TEST_F(LightRoomsTest, WhileItIsLentItIsWhereItWasLentTo) {
  note(fleet::Deed::kLent, 2, base::RoomId{3});
  note(fleet::Deed::kCleaned, 3);
  note(fleet::Deed::kReturned, 5, base::RoomId{3});
  EXPECT_EQ(rooms({1, 2, 4, 5, 9}), (Rooms{1, 3, 3, 1, 1}));
  note(fleet::Deed::kLent, 7);
  EXPECT_EQ(rooms({8}), (Rooms{1})) << "nobody said where to";
  move(2, 10);
  EXPECT_EQ(rooms({8, 10}), (Rooms{1, 2}));
}

TEST_F(LightRoomsTest, AnotherRoomOfItsOwnEndsALoanThatNobodyEnded) {
  note(fleet::Deed::kLent, 2, base::RoomId{3});
  move(2, 6);
  EXPECT_EQ(rooms({1, 5, 6, 9}), (Rooms{1, 3, 2, 2}));
  note(fleet::Deed::kReturned, 8, base::RoomId{3});
  EXPECT_EQ(rooms({7, 9}), (Rooms{2, 2})) << "it came back to its own room";
}

}  // namespace
}  // namespace throughcure::tests
