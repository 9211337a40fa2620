// A light's page and row as JSON.
#pragma once

#include <string>

#include "throughcure/desk/light_line.hpp"
#include "throughcure/desk/light_page.hpp"

namespace throughcure::service {

std::string fleet_row_json(const desk::LightLine& line);
std::string fleet_page_json(const desk::LightView& view, const store::Reader& reader, const desk::Policy& policy,
                            base::Instant now);

}  // namespace throughcure::service
