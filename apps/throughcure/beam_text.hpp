// The report of a beam as words for a person and as a JSON document.
#pragma once

#include <string>
#include <vector>

#include "throughcure/optics/beam_report.hpp"

namespace throughcure::apps {

/// What the light gives in plain sentences, each a line of 60 letters or so.
std::vector<std::string> beam_sentences(const optics::Light& light, const optics::BeamReport& report);

/// The sentences, then the numbers with their units.
std::string beam_text(const optics::Light& light, const optics::BeamReport& report);

/// One JSON document. Lengths in mm, irradiances in mW/cm2, shares 0 to 1; places are from the tip's axis, x to the
/// right and y upwards for one who looks at the tip's face.
std::string beam_json(const optics::Light& light, const optics::BeamReport& report);

}  // namespace throughcure::apps
