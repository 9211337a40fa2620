// What a practice reports of a month: how its lights stand, in sentences, and each light on a page of its own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "throughcure/desk/light_page.hpp"
#include "throughcure/desk/room_log.hpp"

namespace throughcure::desk {

/// Something that was done to a light or happened to it.
struct Happening {
  base::Instant at{};
  std::string when;  ///< by the site's clock
  std::string what;
  std::string by;
};

/// A paper on file, by what it shows: its file's name is private.
struct PaperOnFile {
  std::string about;
  std::string media;
  std::string added;        ///< the day
  std::string fingerprint;  ///< the first 16 digits of its SHA-256
};

struct LightMonth {
  LightView view;
  base::Instant until{};  ///< what is known up to then
  std::string sentence;   ///< as its page says it
  std::vector<BandPoint> band;
  std::vector<CheckRow> checks;       ///< of the month
  std::vector<Happening> happenings;  ///< of the month
  std::vector<PaperOnFile> papers;
  std::vector<std::string> missing;  ///< what acceptance still wants, of a light that is not accepted
};

struct MonthReport {
  LocalMonth month;
  std::string site;  ///< or all of them
  std::string time_zone;
  base::Instant until{};
  std::vector<std::string> sentences;  ///< the first page; none where the report is of one light
  std::vector<LightMonth> lights;
  std::vector<LoggedRadiometer> radiometers;
  std::vector<ValueInForce> values;
  PrintedHead head;
};

/// Of all lights that somebody may see, or of one of them. Each light stands as it stood at the end of the month, or as
/// it stands now while the month lasts; lights that came later are left out. Look-backs and decisions are told to
/// clinicians and leads only. Throws Missing where there is no such light for them to see, base::InputError for a month
/// that has not begun.
MonthReport month_report(const store::Reader& reader, const practice::Member& member, const LocalMonth& month,
                         std::optional<base::LightId> only, base::Instant now);

}  // namespace throughcure::desk
