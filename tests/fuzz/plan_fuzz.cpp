// The bodies of the questions about a restoration, on any bytes: each is answered by a plan that can be used or by what
// is wrong with it, and a document that was taken is taken again as it came.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <string>

#include "any_case.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/service/plan_request.hpp"

using namespace throughcure;

namespace {

void check(bool holds) {
  if (!holds) std::abort();
}

std::optional<service::PlanRequest> taken(const std::string& body, service::PlanQuestion question) {
  static const exchange::CaseFiles known = fuzz::any_files();
  try {
    return service::read_plan_request(body, question, known);
  } catch (const base::InputError& error) {
    check(!error.problems().empty() && error.problems().size() <= 1000);
    return std::nullopt;
  }
}

bool is_document(const std::string& body) {
  try {
    return !service::read_plan_document(body).empty();
  } catch (const base::InputError&) {
    return false;
  }
}

}  // namespace

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using enum service::PlanQuestion;
  const std::string body(reinterpret_cast<const char*>(data), size);
  const bool alone = is_document(body);
  for (const service::PlanQuestion question : {kVerdict, kWhy, kMeshes}) {
    const auto request = taken(body, question);
    if (!request) continue;
    fuzz::check(request->c);
    check(request->exposure.value_or(0) < request->c.schedule.size());
    check(question != kWhy || alone);
    const auto again = taken(R"({"document":)" + exchange::json_text(request->document) + "}", question);
    check(again && again->key == request->key && again->c.schedule.size() == request->c.schedule.size());
  }
  return 0;
}
