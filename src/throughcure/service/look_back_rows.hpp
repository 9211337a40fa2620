// A page of a look-back's list as it is answered.
#pragma once

#include <optional>
#include <string>

#include "throughcure/desk/look_back_ranking.hpp"
#include "throughcure/service/opened_look_back.hpp"

namespace throughcure::service {

/// Which page a call asks for: "limit" (100, at most 1000), "after", "decision".
struct PageAsked {
  std::size_t limit = 0;
  std::optional<std::string> after;
  std::optional<desk::DecisionState> only;
};
/// Throws base::InputError where the query is not of these.
PageAsked page_asked(const Call& call);

/// "counts":{...},"restorations":[...],"after":... of a JSON object. Throws as LookBackRanking::page does.
std::string page_json(const store::Reader& reader, const OpenedLookBack& all, const desk::LookBackRanking& ranking,
                      const PageAsked& asked);

}  // namespace throughcure::service
