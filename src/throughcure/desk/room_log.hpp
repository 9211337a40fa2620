// The log of one room's checks in a month, as somebody who inspects the practice wants to see it.
#pragma once

#include <string>
#include <vector>

#include "throughcure/desk/check_row.hpp"
#include "throughcure/desk/local_month.hpp"
#include "throughcure/desk/values_in_force.hpp"
#include "throughcure/practice/member.hpp"

namespace throughcure::desk {

struct LoggedLight {
  std::string name;
  std::string serial;
  std::string tips;      ///< with their diameters
  std::string state;     ///< "in use", ...
  std::string approval;  ///< its number and who gave it
};

struct LoggedRadiometer {
  std::string name;
  std::string serial;
  std::string certificate;  ///< number and who issued it
  std::string valid_until;  ///< the day; "expired on ..." where it is over
};

/// The head of the audit log, as it is printed.
struct PrintedHead {
  std::uint64_t size = 0;
  std::string root;  ///< 64 hexadecimal digits
  std::string key;   ///< the practice's public one, likewise; empty where none was made yet
};
PrintedHead printed_head(const store::Reader& reader);

struct RoomLog {
  LocalMonth month;
  std::string room;
  std::string site;
  std::string time_zone;
  base::Instant until{};  ///< what is known up to then
  std::vector<std::string> sentences;
  std::vector<LoggedLight> lights;
  std::vector<LoggedRadiometer> radiometers;  ///< the room's own, and those that its checks were taken with
  std::vector<CheckRow> rows;
  std::vector<ValueInForce> values;
  std::int64_t check_every_days = 0;  ///< of this room
  PrintedHead head;
};

/// A month that has not begun has no checks: its log is for the pen alone. Throws Missing where there is no such room
/// for them to see.
RoomLog room_log(const store::Reader& reader, const practice::Member& member, base::RoomId room,
                 const LocalMonth& month, base::Instant now);

/// The radiometers of these numbers, by number.
std::vector<LoggedRadiometer> logged_radiometers(const store::Reader& reader, const std::vector<std::int64_t>& numbers,
                                                 base::Instant until, const std::string& time_zone);

/// "Overdue on 2026-11-26: Lamp 5, by 2 days." or that none is.
struct Overdue {
  std::string light;
  std::int64_t days = 0;
};
std::string overdue_sentence(const std::vector<Overdue>& overdue, base::Instant until, const std::string& time_zone);

}  // namespace throughcure::desk
