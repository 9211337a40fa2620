#include "throughcure/desk/audit_log.hpp"

#include "throughcure/base/given.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::desk {

namespace {

constexpr const char* kSecret = "signing key";
constexpr std::size_t kAtOnce = 1000;  // changes

practice::KeySeed seed_in(const std::string& kept) {
  const auto seed = base::from_hex<std::tuple_size_v<practice::KeySeed>>(kept);
  if (!seed) throw base::Failure("the key that signs the audit log is broken. Restore the last good backup.");
  return *seed;
}

}  // namespace

practice::KeySeed signing_seed(store::Store& records, base::Instant now) {
  std::optional<std::string> kept;
  records.read([&](const store::Reader& reader) { kept = reader.secret(kSecret); });
  if (!kept) {
    records.write({"program", now}, [&](store::Writer& writer) {
      kept = writer.secret(kSecret);  // another one may have been first
      if (kept) return;
      kept = base::hex(practice::random_key_seed());
      writer.keep_secret(kSecret, base::given(kept));
    });
  }
  return seed_in(base::given(kept));
}

std::string public_key_text(const store::Reader& reader) {
  const std::optional<std::string> kept = reader.secret(kSecret);
  return kept ? base::hex(practice::SigningKey(seed_in(*kept)).public_key()) : std::string();
}

void each_change(store::Store& records, const std::function<void(const practice::Change&)>& each) {
  records.read([&](const store::Reader& reader) {
    const std::uint64_t size = reader.edge().size();
    for (std::uint64_t next = 1; next <= size;) {
      const auto piece = reader.changes(next, kAtOnce);
      if (piece.empty()) throw base::Failure("the audit log ends before its edge. Restore the last good backup.");
      for (const practice::Change& change : piece) each(change);
      next += piece.size();
    }
  });
}

practice::RightEdge edge_of(store::Store& records) {
  std::optional<practice::RightEdge> edge;
  records.read([&](const store::Reader& reader) { edge = reader.edge(); });
  return base::given(edge);
}

}  // namespace throughcure::desk
