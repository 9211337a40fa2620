#include "throughcure/desk/import_fields.hpp"

#include <algorithm>
#include <array>

#include "throughcure/desk/import_book.hpp"
#include "throughcure/fleet/reading_entry.hpp"

namespace throughcure::desk {

namespace {

using enum FieldSort;
using exchange::Quantity;

constexpr std::array<std::string_view, 5> kKinds = {"reading", "light", "radiometer", "restoration", "lot"};
constexpr std::array<std::string_view, 2> kSpectralClasses = {"blue", "broad"};
constexpr std::array<std::string_view, 2> kToothNumbers = {"iso", "universal"};

constexpr std::string_view kLightHeaders =
    "light|lamp|curing light|curing unit|light cure unit|device|unit|light name|light serial|serial number|serial no";
constexpr std::string_view kTimeHeaders = "time|time of day|hour|clock";
constexpr std::string_view kNoteHeaders = "note|notes|remark|remarks|comment|comments";
constexpr std::string_view kOfTimes =
    "The time by the clock of the site, where the date has none beside it. Noon stands for a time that nobody wrote.";

constexpr std::array<ImportField, 15> kReading = {{
    {.name = "light",
     .label = "Light",
     .what = "The light that was read, by its name or serial number as it stands in the records.",
     .headers = kLightHeaders,
     .sort = kRecord,
     .required = true,
     .refers_to = "light"},
    {.name = "taken_at",
     .label = "Date",
     .what = "The day, or the day and time, by the clock of the site.",
     .headers =
         "date|taken at|taken on|date and time|date time|date of reading|date of check|reading date|check date|day|"
         "when|timestamp|checked on|measured on",
     .sort = kDate,
     .required = true},
    {.name = "time_of_day", .label = "Time of day", .what = kOfTimes, .headers = kTimeHeaders, .sort = kTimeOfDay},
    {.name = "shown_mw_cm2",
     .label = "Reading",
     .what = "What the radiometer showed. A column without a unit is taken in mW/cm2.",
     .headers = "reading|shown|shown mw cm2|output|light output|irradiance|intensity|exitance|radiant exitance|value|"
                "result|measured|measured value|radiometer reading|power density|mw cm2|power",
     .sort = kNumber,
     .required = true,
     .quantity = Quantity::kPowerPerArea},
    {.name = "radiometer",
     .label = "Radiometer",
     .what = "What it was read with, by its name or serial number. It must be in the records already.",
     .headers = "radiometer|meter|light meter|measured with|read with|instrument|radiometer serial",
     .sort = kRecord,
     .required = true,
     .refers_to = "radiometer"},
    {.name = "tip",
     .label = "Tip",
     .what = "By its name. Where none is said, the light's only one.",
     .headers = "tip|light guide|guide|tip used|tip name",
     .sort = kRecord,
     .refers_to = "tip"},
    {.name = "room",
     .label = "Room",
     .what = "By its name. Where none is said, the room in which the light is now.",
     .headers = "room|operatory|surgery|chair|location|where",
     .sort = kRecord,
     .refers_to = "room"},
    {.name = "taken_by",
     .label = "Taken by",
     .what = "A person of the practice, by name. Where none is said, whoever imports.",
     .headers = "taken by|by|who|checked by|measured by|read by|name|person|staff|operator|user|initials",
     .sort = kRecord,
     .refers_to = "person"},
    {.name = "mode",
     .label = "Mode",
     .what =
         "Readings of different modes are not compared. Where none is said, the mode in which the light is checked.",
     .headers = "mode|program|programme|setting|light mode",
     .sort = kText},
    {.name = "second_of_press",
     .label = "Second of the press",
     .what = "How long the light had been on when it was read.",
     .headers = "second of press|seconds|read after|after|second",
     .sort = kNumber,
     .quantity = Quantity::kTime},
    {.name = "barrier_on",
     .label = "Barrier on",
     .what = "Whether a barrier was over the tip. Where nothing is said: no.",
     .headers = "barrier on|barrier|sleeve|cover|with barrier|sleeve on",
     .sort = kYesNo},
    {.name = "tip_clean",
     .label = "Tip clean",
     .what = "Whether the tip was clean. Where nothing is said: yes.",
     .headers = "tip clean|clean|clean tip|tip ok|tip cleaned",
     .sort = kYesNo},
    {.name = "battery",
     .label = "Battery",
     .what = "Its level, as a share of one or in %.",
     .headers = "battery|battery level|charge|charged",
     .sort = kNumber,
     .quantity = Quantity::kShare},
    {.name = "purpose",
     .label = "Purpose",
     .what = "What it was taken for. Where nothing is said: a check.",
     .headers = "purpose|reason|type",
     .sort = kWord,
     .words = base::Words<fleet::Purpose>::words},
    {.name = "note", .label = "Note", .what = "Free text, kept private.", .headers = kNoteHeaders},
}};

constexpr std::array<ImportField, 14> kLight = {{
    {.name = "name",
     .label = "Name",
     .what = "What the practice calls it.",
     .headers = "name|light|lamp|light name|curing light|device|unit|label",
     .required = true},
    {.name = "serial",
     .label = "Serial number",
     .what = "As it stands on the light. A light whose serial number is in the records already is passed over.",
     .headers = "serial|serial number|serial no|serialno|sn|s n|light serial|number",
     .required = true},
    {.name = "room",
     .label = "Room",
     .what = "Where it is used, by the room's name. The room must be in the records already.",
     .headers = "room|operatory|surgery|chair|location|where",
     .sort = kRecord,
     .required = true,
     .refers_to = "room"},
    {.name = "claimed_mw_cm2",
     .label = "Claimed output",
     .what = "The radiant exitance that is claimed for it. A column without a unit is taken in mW/cm2.",
     .headers =
         "claimed|claimed output|claimed mw cm2|claim|rated output|rated|nominal output|output|irradiance|intensity|"
         "radiant exitance|exitance|mw cm2",
     .sort = kNumber,
     .quantity = Quantity::kPowerPerArea},
    {.name = "tip_diameter_mm",
     .label = "Tip diameter",
     .what = "Of the optical face. The light gets a tip with it; a light without one can have no readings.",
     .headers = "tip diameter|tip diameter mm|diameter|diameter mm|tip size|tip mm|guide diameter|tip",
     .sort = kNumber,
     .quantity = Quantity::kLength},
    {.name = "tip_name",
     .label = "Tip name",
     .what = "What that tip is called. Where nothing is said: by its diameter.",
     .headers = "tip name|tip|light guide|guide"},
    {.name = "check_mode",
     .label = "Mode of its checks",
     .what = "The mode in which it is read.",
     .headers = "check mode|mode|mode of checks|program|programme"},
    {.name = "battery",
     .label = "Battery",
     .what = "Its kind. Left empty for a light on a cord.",
     .headers = "battery|battery type|battery kind"},
    {.name = "approval_number",
     .label = "Approval number",
     .what = "Of its national approval, as on its papers. Acceptance asks for the papers themselves.",
     .headers = "approval number|approval|approval no|registration number|registration"},
    {.name = "approved_by",
     .label = "Approved by",
     .what = "The body that issued the approval.",
     .headers = "approved by|approval body|issued by|authority"},
    {.name = "bought_in",
     .label = "Bought in",
     .what = "The market of purchase.",
     .headers = "bought in|country|market|purchased in|place of purchase"},
    {.name = "warranty_until",
     .label = "Warranty until",
     .what = "The last day of its warranty; a month alone stands for its last day.",
     .headers = "warranty until|warranty|warranty end|warranty ends|end of warranty|warranty expires",
     .sort = kDate},
    {.name = "emits_violet",
     .label = "Emits violet too",
     .what = "Whether it has an emitter below some 420 nm besides its blue one. Left empty where it is not known.",
     .headers = "emits violet|emits violet too|violet|violet too|violet and blue|has violet",
     .sort = kYesNo},
    {.name = "claim_measured",
     .label = "Measured by a laboratory",
     .what =
         "Whether a laboratory measured the claimed output on this very light. Left empty it is taken for its maker's.",
     .headers = "measured by a laboratory|laboratory measured|claim measured|claim measured by a laboratory",
     .sort = kYesNo},
}};

constexpr std::array<ImportField, 5> kRadiometer = {{
    {.name = "name",
     .label = "Name",
     .what = "What the practice calls it.",
     .headers = "name|radiometer|meter|light meter|device|instrument|label",
     .required = true},
    {.name = "serial",
     .label = "Serial number",
     .what = "As it stands on it. A radiometer whose serial number is in the records already is passed over.",
     .headers = "serial|serial number|serial no|serialno|sn|s n|number",
     .required = true},
    {.name = "aperture_mm",
     .label = "Aperture",
     .what = "The diameter of its sensor's opening.",
     .headers = "aperture|aperture mm|sensor diameter|sensor|diameter|diameter mm|opening",
     .sort = kNumber,
     .quantity = Quantity::kLength},
    {.name = "certificate_until",
     .label = "Certificate until",
     .what = "The last day on which its calibration is valid; a month alone stands for its last day.",
     .headers =
         "certificate until|certificate|calibrated until|calibration until|calibration due|calibration|valid until|"
         "due|certificate expires",
     .sort = kDate},
    {.name = "spectral_class",
     .label = "Answers to",
     .what = "Blue light alone, or violet and blue, as its maker says.",
     .headers = "spectral class|answers to|spectrum|type",
     .sort = kWord,
     .words = kSpectralClasses},
}};

constexpr std::array<ImportField, 13> kRestoration = {{
    {.name = "chart",
     .label = "Chart number",
     .what = "The patient's number in the charts, never a name. It is kept private.",
     .headers = "chart|chart number|chart no|patient number|patient no|patient id|record number|file number|id",
     .required = true},
    {.name = "placed_at",
     .label = "Date",
     .what = "The day, or the day and time, by the clock of the site.",
     .headers = "date|placed at|placed on|date placed|date of treatment|treatment date|day|when|date and time",
     .sort = kDate,
     .required = true},
    {.name = "time_of_day", .label = "Time of day", .what = kOfTimes, .headers = kTimeHeaders, .sort = kTimeOfDay},
    {.name = "tooth",
     .label = "Tooth",
     .what = "Its number.",
     .headers = "tooth|tooth number|tooth no|teeth",
     .required = true},
    {.name = "tooth_numbers",
     .label = "Teeth are numbered by",
     .what = "ISO 3950 (two digits, 11 to 48) or Universal (1 to 32).",
     .headers = "",
     .sort = kWord,
     .required = true,
     .words = kToothNumbers,
     .only_for_all = true},
    {.name = "surfaces",
     .label = "Surfaces",
     .what = "As they are written in the chart: DO.",
     .headers = "surfaces|surface|site|cavity"},
    {.name = "placed_by",
     .label = "Placed by",
     .what = "A person of the practice, by name.",
     .headers = "placed by|by|dentist|clinician|who|provider|operator|initials",
     .sort = kRecord,
     .required = true,
     .refers_to = "person"},
    {.name = "light",
     .label = "Light",
     .what = "The light it was cured with, by its name or serial number as it stands in the records.",
     .headers = kLightHeaders,
     .sort = kRecord,
     .required = true,
     .refers_to = kLightOnceHere},
    {.name = "tip",
     .label = "Tip",
     .what = "By its name. Where none is said, the light's only one.",
     .headers = "tip|light guide|guide|tip used|tip name",
     .sort = kRecord,
     .refers_to = "tip"},
    {.name = "material",
     .label = "Material",
     .what = "What was placed, with its shade.",
     .headers = "material|composite|resin|paste|product|material and shade"},
    {.name = "lot",
     .label = "Lot",
     .what = "The material's lot number.",
     .headers = "lot|lot number|lot no|batch|batch number"},
    {.name = "barrier_pass",
     .label = "Barrier lets through",
     .what = "The share of light that the barrier let through, of one or in %. Left empty where none was on.",
     .headers = "barrier pass|barrier lets through|barrier transmission|barrier",
     .sort = kNumber,
     .quantity = Quantity::kShare},
    {.name = "note", .label = "Note", .what = "Free text, kept private.", .headers = kNoteHeaders},
}};

constexpr std::array<ImportField, 6> kLot = {{
    {.name = "material",
     .label = "Material",
     .what = "By its name, with its shade or without. One that is not in the records yet is added to them.",
     .headers = "material|material name|product|product name|composite|resin|paste|adhesive|name|item|article|"
                "description",
     .required = true},
    {.name = "shade",
     .label = "Shade",
     .what = "Where none is said, the material of that name, if there is only one.",
     .headers = "shade|material shade|colour|color"},
    {.name = "number",
     .label = "Lot number",
     .what = "As it stands on the pack. A lot of the material that is in the records already is passed over.",
     .headers = "lot|lot number|lot no|batch|batch number|batch no|lot batch|batch lot|lot code|batch code|number",
     .required = true},
    {.name = "expires_at",
     .label = "Expires on",
     .what = "The last day on which it may be used. A month alone, 2027-03 or 03/2027, stands for its last day.",
     .headers = "expires at|expires on|expires|expiry|expiry date|expiration|expiration date|exp|exp date|use by|"
                "use by date|use before|best before|valid until|shelf life",
     .sort = kDate},
    {.name = "ifu_seconds",
     .label = "Exposure by its instructions",
     .what = "Of the material. It is kept where the row adds the material, and must agree where that is there already.",
     .headers = "ifu seconds|exposure|exposure time|curing time|cure time|light curing time|seconds|time",
     .sort = kNumber,
     .quantity = Quantity::kTime},
    {.name = "ifu_increment_mm",
     .label = "Thickest increment by its instructions",
     .what = "The same.",
     .headers = "ifu increment mm|increment|thickest increment|increment thickness|maximum increment|max increment|"
                "layer|layer thickness",
     .sort = kNumber,
     .quantity = Quantity::kLength},
}};

}  // namespace

std::string_view word(ImportKind kind) { return kKinds.at(static_cast<std::size_t>(kind)); }

std::optional<ImportKind> import_kind_called(std::string_view called) {
  const auto at = std::ranges::find(kKinds, called);
  if (at == kKinds.end()) return std::nullopt;
  return static_cast<ImportKind>(at - kKinds.begin());
}

std::span<const ImportField> import_fields(ImportKind kind) {
  switch (kind) {
    case ImportKind::kReading:
      return kReading;
    case ImportKind::kLight:
      return kLight;
    case ImportKind::kRadiometer:
      return kRadiometer;
    case ImportKind::kRestoration:
      return kRestoration;
    case ImportKind::kLot:
      return kLot;
  }
  return {};
}

}  // namespace throughcure::desk
