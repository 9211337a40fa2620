// A verdict, its causes and its mends as a document for JSON: the same for the command line and for the page.
#pragma once

#include <string>
#include <vector>

#include "throughcure/exchange/plain_value.hpp"
#include "throughcure/plan/ground.hpp"
#include "throughcure/plan/mend.hpp"
#include "throughcure/plan/verdict.hpp"
#include "throughcure/plan/why.hpp"

namespace throughcure::exchange {

/// `sentence, verdict, probability, probability_se, draws, effective_draws, worst, cells, target`. A cell: `name, kind,
/// increment` (counted from 1), `decides, conversion, share_of_reference, hardness_ratio` (p10, p50, p90),
/// `probability, relative_se, light_j_cm2, at_mm`. `target`: the criterion that counts, with its kind and source, and
/// the policy that turns a probability into a word.
PlainTable verdict_document(const plan::Ground& ground, const plan::Verdict& verdict);

/// `place, order, causes` (`cause, label, share_kept, relative_se, probability_without`), `total_kept`.
PlainTable why_document(const plan::Ground& ground, const plan::Why& why);

/// One mend without its schedule: `label, sentence, verdict, probability, probability_se, extra_seconds`.
PlainTable mend_document(const plan::Mend& mend);

/// A schedule as a case file's [[exposure]] has it; an aim that has a name is given by it.
PlainList schedule_document(const plan::Ground& ground, const std::vector<plan::Exposure>& schedule);

/// A document as JSON, keys in their order; `indent` < 0: one line.
std::string to_json(const PlainTable& document, int indent = -1);

}  // namespace throughcure::exchange
