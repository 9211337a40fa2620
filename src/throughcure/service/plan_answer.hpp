// Answers about a restoration: its verdict with the section drawing, why with its mends, its meshes.
#pragma once

#include <cstdint>
#include <string>

#include "throughcure/base/parallel.hpp"
#include "throughcure/desk/kept_cases.hpp"
#include "throughcure/plan/fluence.hpp"
#include "throughcure/service/drawings.hpp"
#include "throughcure/service/plan_request.hpp"

namespace throughcure::service {

/// How finely a dragged tip is answered.
inline constexpr plan::FluenceEffort kDraggedLight{.hand_poses = 4, .every = 4, .most_paths = 2400};

/// { sentence, verdict, ..., cells, picture, tips, states, aims, section, cautions }, as web/src/restoration/answers.ts
/// reads it; a full answer with a dark picture has the same on paper too: paper_picture.
std::string verdict_answer(const PlanRequest& request, desk::KeptCases& cases, Drawings& drawings,
                           const base::Running& running);

/// A verdict as it goes on record: at the page's full precision, with the seed that gives it again.
struct RecordedVerdict {
  exchange::PlainTable document;  ///< exchange::verdict_document
  double probability = 0;         ///< that it cures through [0..1]
  double probability_se = 0;
  std::uint64_t seed = 0;
};
RecordedVerdict recorded_verdict(const PlanRequest& request, desk::KeptCases& cases, const base::Running& running);

/// { place, order, causes, total_kept, mends: [{ ..., document }] }.
std::string why_answer(const PlanRequest& request, desk::KeptCases& cases, const base::Running& running);

/// { meshes: [...] } of one state (exchange::meshes_json); the last where the request names none.
std::string meshes_answer(const PlanRequest& request);

}  // namespace throughcure::service
