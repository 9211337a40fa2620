// Everything about one look-back that is worked out at once, from one moment of the records.
#pragma once

#include <memory>

#include "throughcure/desk/light_page.hpp"
#include "throughcure/desk/look_back_output.hpp"
#include "throughcure/desk/look_back_share.hpp"
#include "throughcure/desk/recomputations.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

struct OpenedLookBack {
  store::Kept<practice::LookBack> kept;
  desk::LookBackShare share;  ///< of whoever asks
  desk::LightView view;
  std::unique_ptr<desk::LookBackOutput> output;
  std::unique_ptr<desk::Recomputations> recomputed;
  desk::Limit limit;                      ///< of the series that was current at its last good check
  std::string limit_why;                  ///< as LightView has it
  std::optional<std::string> shown_by;    ///< the radiometer by which limit and course are told
  std::vector<desk::SeriesScale> scales;  ///< of each series of `view`, where that one's is 1

  /// What the restoration came to, as things stand now; null where that is not known.
  [[nodiscard]] const desk::Outcome* result_of(const store::Kept<practice::Restoration>& restoration) const;
};

/// The look-back that the call's address names. Throws as visible_look_back does.
OpenedLookBack opened_look_back(const store::Reader& reader, const Call& call, const RecordsDesk& desk);

}  // namespace throughcure::service
