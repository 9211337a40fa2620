// What is done with a light as a whole: accepted, refused, withdrawn, returned to use.
#pragma once

#include <string>

#include "throughcure/desk/look_backs.hpp"
#include "throughcure/practice/member.hpp"

namespace throughcure::desk {

/// Throws base::InputError with what is missing (missing_for_acceptance), or where it is in use already or withdrawn.
void accept_light(store::Writer& writer, base::LightId light, base::Instant now);

/// Not accepted, with the reason. Throws base::InputError without one.
void refuse_light(store::Writer& writer, base::LightId light, const std::string& because);

/// Takes it out of use for cause, and opens a look-back. One that was never accepted only where restorations are on
/// record with it: it stands as withdrawn then, and as not accepted once it has come back.
base::LookBackId withdraw_light(store::Writer& writer, base::LightId light, const std::string& because,
                                base::PersonId by, base::Instant now);

/// Back to use after as many good checks as the practice asks for. Throws base::InputError before that.
void return_light(store::Writer& writer, base::LightId light, base::Instant now);

}  // namespace throughcure::desk
