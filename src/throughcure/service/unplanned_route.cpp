#include "throughcure/service/unplanned_route.hpp"

#include <optional>
#include <string>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/light_rooms.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/desk/record_rules.hpp"
#include "throughcure/desk/tooth_text.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/service/body.hpp"
#include "throughcure/service/made_checks.hpp"
#include "throughcure/service/record_json.hpp"

namespace throughcure::service {

namespace {

/// What was said of it: numbers of records that are looked up as it is kept.
struct Said {
  practice::Restoration made;  ///< with its material empty
  std::optional<base::PersonId> placed_by;
  std::optional<base::Instant> placed_at;
  base::MaterialId material;
  std::optional<base::BarrierId> barrier;
};

base::Instant instant_in(const std::string& text) {
  const auto at = read_instant(text);
  if (!at) base::refuse("placed_at", "it is no instant", "Write it as 2026-11-26T08:30:00Z");
  return *at;
}

Said said_in(const Call& call) {
  const Body body(call.request.body);
  Said said{.made = {.chart = body.text("chart"),
                     .tooth = body.text("tooth"),
                     .surfaces = body.text_or_none("surfaces").value_or(""),
                     .placed_by = {},
                     .light = {body.whole("light")},
                     .tip = {body.whole("tip")},
                     .material = {},
                     .lot = body.text_or_none("lot").value_or(""),
                     .barrier_pass = {},
                     .resolved_case = {},
                     .probability = {},
                     .seed = {},
                     .engine = {},
                     .note = body.text_or_none("note")},
            .placed_by = {},
            .placed_at = {},
            .material = {body.whole("material")},
            .barrier = {}};
  const auto placed_at = body.text_or_none("placed_at");
  const std::optional<std::int64_t> placed_by = body.whole_or_none("placed_by");
  const std::optional<std::int64_t> barrier = body.whole_or_none("barrier");
  body.finish();
  if (placed_by) said.placed_by = base::PersonId{*placed_by};
  if (barrier) said.barrier = base::BarrierId{*barrier};
  if (placed_at) said.placed_at = instant_in(*placed_at);
  return said;
}

/// As it is kept. Refuses what cannot be.
practice::Restoration made_of(const MadeCheck& check, const Said& said) {
  practice::Restoration made = said.made;
  made.placed_at = said.placed_at.value_or(check.now);
  must_be_over(check, made.placed_at);
  const fleet::LightEntry light = light_then(check, made.light, made.placed_at);
  must_be_its_tip(check, made.tip, made.light, light.name);
  const auto tooth = desk::iso_tooth(made.tooth);
  if (!tooth) base::refuse("tooth", "there is no such tooth in ISO 3950", std::string(desk::kIsoTeeth));
  made.tooth = *tooth;
  made.placed_by = operator_of(check, said.placed_by);
  made.material = material_words(check, said.material);
  if (said.barrier) made.barrier_pass = barrier_pass(check, *said.barrier);
  made.room = desk::LightRooms(check.reader).at(made.light, made.placed_at);
  base::refuse_if_any(desk::record_problems(store::table_of<practice::Restoration>(), base::values_of(made)));
  return made;
}

Response record(const Call& call, const RecordsDesk& desk) {
  const Said said = said_in(call);
  const base::Instant now = desk.settings.now();
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    const practice::Restoration made = made_of({.reader = writer, .member = member_of(call), .now = now}, said);
    document = once(writer, call, [&] {
      const base::RestorationId id = writer.add(made);
      desk::reopen_where_undecided(writer, made.light);
      return R"({"id":)" + std::to_string(id.number) + R"(,"revision":1})" + "\n";
    });
  });
  return json_response(201, std::move(document));
}

}  // namespace

Route unplanned_route(const RecordsDesk& desk) {
  return {Method::post,
          "/api/unplanned-restorations",
          Access::clinician,
          "Records a restoration that was not planned: what was done, without a case.",
          on_desk(desk, [desk](const Call& call) { return record(call, desk); }),
          true,
          "NewUnplanned",
          "Written"};
}

}  // namespace throughcure::service
