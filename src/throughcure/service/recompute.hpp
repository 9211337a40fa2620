// A restoration's verdict worked out again, with what its light gave on that day.
#pragma once

#include <string>

#include "throughcure/base/parallel.hpp"
#include "throughcure/desk/look_back_output.hpp"
#include "throughcure/exchange/case_files.hpp"
#include "throughcure/plan/ground.hpp"
#include "throughcure/service/look_back_results.hpp"

namespace throughcure::service {

/// `document` is the case as it was kept (docs/case.md as JSON), `claimed_mw_cm2` what the light's file stands for. The
/// chance is one less that of curing through, at a precision that ranks: a tenth of the light at the floor.
LookBackResults::Result recompute(const std::string& document, const desk::OutputThen& output, double claimed_mw_cm2,
                                  const exchange::CaseFiles& files, const plan::Knowledge& knowledge,
                                  const base::Running& running);

}  // namespace throughcure::service
