// The log of a room's checks as a print, with rows to fill in by hand.
#pragma once

#include "throughcure/desk/room_log.hpp"
#include "throughcure/draw/paint_pdf.hpp"

namespace throughcure::service {

draw::Print room_log_print(const desk::RoomLog& log, base::Instant now);

}  // namespace throughcure::service
