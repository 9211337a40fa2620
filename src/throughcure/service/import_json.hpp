// The documents of an import: what a person says of a file, and what it would become.
#pragma once

#include <string>
#include <string_view>

#include "throughcure/desk/import.hpp"
#include "throughcure/service/import_drafts.hpp"

namespace throughcure::service {

/// {kind, columns, constants, date_order, decimal_mark, leave_out}. Throws base::InputError with all that is wrong.
desk::ImportSettings import_settings(std::string_view document);

/// The schema's ImportPreview.
std::string import_preview_json(const ImportDraft& draft, const desk::ImportPreview& preview);

}  // namespace throughcure::service
