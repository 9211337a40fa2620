// The labels of lights as a print: each leads a phone to the check of its light.
#pragma once

#include <string>
#include <vector>

#include "throughcure/desk/light_labels.hpp"
#include "throughcure/draw/paint_pdf.hpp"

namespace throughcure::service {

/// `origin` is where a browser reaches this program: "https://192.168.1.20:8420". Throws base::Failure where it is too
/// long for a label.
draw::Print label_print(const std::vector<desk::LightLabel>& lights, const std::string& origin, base::Instant now);

}  // namespace throughcure::service
