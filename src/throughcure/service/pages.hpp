// The few pages that need no script: signed out, signed in, not found, built without the page.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "throughcure/service/http.hpp"

namespace throughcure::service {

/// A page of one heading and a few sentences, in plain text (it is escaped here). `demo` adds the line that says so.
/// `onwards`, where given, is an address to which the page goes by itself and to which it offers a link.
std::string plain_page(std::string_view heading, const std::vector<std::string>& sentences, bool demo,
                       std::string_view onwards = {});

/// The style of those pages.
std::string_view plain_style();

/// A refusal in the form that its asker can read: JSON {"sentence": ...} for the API, a plain page for a browser.
Response refusal(int status, bool api, bool demo, std::string_view heading, std::string_view sentence);

/// JSON {"sentence": ...}.
Response refusal_json(int status, std::string_view sentence);

}  // namespace throughcure::service
