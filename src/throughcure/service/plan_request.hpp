// What the page asks about a restoration: its document, how to draw it, how finely.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "throughcure/anatomy/cutting_plane.hpp"
#include "throughcure/cure/priors.hpp"
#include "throughcure/exchange/case_files.hpp"
#include "throughcure/exchange/plain_value.hpp"
#include "throughcure/plan/case.hpp"

namespace throughcure::service {

/// What is asked about it; each question has its own keys beside the document.
enum class PlanQuestion : std::uint8_t {
  kVerdict,  ///< view: { plane, exposure, dark }, precision
  kWhy,      ///< none
  kMeshes,   ///< state
};

/// How the answer is wanted.
struct PlanManner {
  anatomy::CutDirection cut = anatomy::CutDirection::kMesiodistal;
  std::optional<std::size_t> exposure{};  ///< whose tip is drawn, one of the schedule; the last without it
  std::optional<std::size_t> state{};     ///< of a mesh; one that the case does not have stands for the last
  bool dark = false;
  bool dragging = false;  ///< a quick answer from fewer draws will do
};

struct PlanRequest : PlanManner {
  plan::Case c;
  exchange::PlainTable document;         ///< as it came
  std::string key;                       ///< tells apart all of the document but its schedule, its patient and its name
  std::optional<cure::Policy> policy{};  ///< that its verdict is worded by; none: the reference's
};

/// Reads the body of a request: the document and the keys of its question, each of which may be left out. Throws
/// InputError with everything that is wrong, a key that the question does not know included; files are named as they
/// lie in the data folder.
PlanRequest read_plan_request(const std::string& body, PlanQuestion question, const exchange::CaseFiles& files);

/// The same for a body that is the document alone, unread.
exchange::PlainTable read_plan_document(const std::string& body);

}  // namespace throughcure::service
