// The parts of a case written out in full; resolved_case.hpp puts them together.
#pragma once

#include "throughcure/base/sourced.hpp"
#include "throughcure/cure/material.hpp"
#include "throughcure/exchange/plain_value.hpp"
#include "throughcure/optics/light.hpp"
#include "throughcure/optics/medium.hpp"

namespace throughcure::exchange {

/// `{ value, low, high, sd, unit, kind, source, note }`, what is not known left out.
PlainValue resolved(const base::Sourced& number);
PlainValue resolved(const optics::TissueOptics& tissue);
/// A material without its initiators' spectra, and each initiator.
PlainValue resolved(const cure::Material& material);
PlainValue resolved(const optics::Initiator& initiator);
/// The light without its modes, and each mode.
PlainValue resolved(const optics::Light& light);
PlainValue resolved(const optics::Mode& mode);

}  // namespace throughcure::exchange
