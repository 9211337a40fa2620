// What the page asks about a restoration: its document, how to draw it, how finely.
#pragma once

#include <optional>
#include <string>

#include "throughcure/anatomy/cutting_plane.hpp"
#include "throughcure/exchange/case_files.hpp"
#include "throughcure/exchange/plain_value.hpp"
#include "throughcure/plan/case.hpp"

namespace throughcure::service {

struct PlanRequest {
  plan::Case c;
  exchange::PlainTable document;  ///< as it came
  std::string key;                ///< tells apart all of the document but its schedule, its patient and its name
  anatomy::CutDirection cut = anatomy::CutDirection::kMesiodistal;
  std::optional<std::size_t> exposure{};  ///< whose tip is drawn; the last without it
  std::optional<std::size_t> state{};     ///< of a mesh
  bool dark = false;
  bool dragging = false;  ///< a quick answer from fewer draws will do
};

/// Reads the body of a request: { document, view: { plane, exposure, dark }, precision, state }. Throws InputError
/// with everything that is wrong, files named as they lie in the data folder.
PlanRequest read_plan_request(const std::string& body, const exchange::CaseFiles& files);

/// The same for the document alone, unread.
exchange::PlainTable read_plan_document(const std::string& body);

}  // namespace throughcure::service
