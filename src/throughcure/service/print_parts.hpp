// What several prints have in common: the foot with the log's root, tables of radiometers, of checks, of limits.
#pragma once

#include <string>
#include <vector>

#include "throughcure/desk/room_log.hpp"
#include "throughcure/draw/print_matter.hpp"

namespace throughcure::service {

/// A sentence of the desk as it is set in type: units with their raised figures.
std::string typeset(std::string sentence);

/// The root of the audit log, how to check the log against it, and the key that signs it.
std::vector<std::string> foot_of(const desk::PrintedHead& head);

/// "printed on 2026-11-26 09:05", by the site's clock.
std::string printed_words(base::Instant now, const std::string& time_zone);

/// Whether what is known up to then is all of the month.
bool is_over(const desk::LocalMonth& month, base::Instant until, const std::string& time_zone);

/// Of what moment a print of the month is: of its end, or of now where it is not over, or has not begun.
std::string known_words(const desk::LocalMonth& month, base::Instant until, const std::string& time_zone);

draw::Table radiometer_table(const std::vector<desk::LoggedRadiometer>& radiometers);
draw::Table values_table(const std::vector<desk::ValueInForce>& values);

/// `with_light`: checks of several lights.
draw::Table check_table(const std::vector<desk::CheckRow>& rows, bool with_light);

/// How the table of checks is to be read.
std::string how_to_read_checks();

}  // namespace throughcure::service
