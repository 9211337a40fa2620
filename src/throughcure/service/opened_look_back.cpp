#include "throughcure/service/opened_look_back.hpp"

#include <utility>

#include "throughcure/service/visible_look_back.hpp"

namespace throughcure::service {

const desk::Outcome* OpenedLookBack::result_of(const store::Kept<practice::Restoration>& restoration) const {
  return recomputed->find(restoration.id, restoration.revision, restoration.record.placed_at, *output);
}

OpenedLookBack opened_look_back(const store::Reader& reader, const Call& call, const RecordsDesk& desk) {
  VisibleLookBack visible = visible_look_back(reader, call);
  OpenedLookBack all{.kept = std::move(visible.kept),
                     .share = std::move(visible.share),
                     .view = {},
                     .output = {},
                     .recomputed = {},
                     .limit = {},
                     .limit_why = {},
                     .shown_by = {},
                     .scales = {}};
  const std::vector<desk::Span> spans = desk::spans_of(reader, all.kept);
  const base::Instant until = spans.back().until;
  desk::LightsNow lights(reader, desk.lights);
  const desk::Policy& policy = lights.policy();
  const auto record = lights.record(all.kept.record.light);
  const desk::LightView good = desk::light_view(*record, policy, spans.front().from.value_or(until));
  all.limit = good.limit;
  all.limit_why = good.limit_why;
  all.shown_by = good.shown_by;
  all.view = desk::light_view(*record, policy, until);
  const auto last_good = good.state.last ? std::optional(good.state.last->id) : std::nullopt;
  all.scales = desk::series_scales(all.view.output, policy, last_good);
  all.output = std::make_unique<desk::LookBackOutput>(all.view, spans, desk::as_shown_by(all.view.output, last_good));
  all.recomputed = std::make_unique<desk::Recomputations>(reader, all.kept, desk.settings.engine);
  return all;
}

}  // namespace throughcure::service
