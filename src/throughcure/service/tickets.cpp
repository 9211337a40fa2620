#include "throughcure/service/tickets.hpp"

#include <span>

#include <sodium.h>

#include "throughcure/base/hex.hpp"
#include "throughcure/base/number_text.hpp"

namespace throughcure::service {

namespace {

constexpr std::size_t kMacBytes = crypto_auth_BYTES;
static_assert(std::tuple_size_v<TicketKey> == crypto_auth_KEYBYTES);

const unsigned char* bytes_of(std::string_view text) {
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): the library takes bytes
  return reinterpret_cast<const unsigned char*>(text.data());
}

}  // namespace

std::string ticket(base::AccountId account, base::Instant until, const TicketKey& key) {
  const std::string said = std::to_string(account.number) + "." + std::to_string(until.us);
  std::array<unsigned char, kMacBytes> mac{};
  crypto_auth(mac.data(), bytes_of(said), said.size(), key.data());
  return said + "." + base::hex(mac);
}

std::optional<base::AccountId> account_of_ticket(std::string_view ticket, base::Instant now, const TicketKey& key) {
  const std::size_t last = ticket.rfind('.');
  if (last == std::string_view::npos) return std::nullopt;
  const std::string_view said = ticket.substr(0, last);
  const auto mac = base::from_hex<kMacBytes>(ticket.substr(last + 1));
  if (!mac || crypto_auth_verify(mac->data(), bytes_of(said), said.size(), key.data()) != 0) return std::nullopt;
  const std::size_t dot = said.find('.');
  const auto account = base::whole_number(said.substr(0, dot));
  const auto until = dot == std::string_view::npos ? std::nullopt : base::whole_number(said.substr(dot + 1));
  if (!account || !until || *until <= now.us) return std::nullopt;
  return base::AccountId{*account};
}

}  // namespace throughcure::service
