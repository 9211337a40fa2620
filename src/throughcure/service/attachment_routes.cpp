#include "throughcure/service/attachment_routes.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/record_rules.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/practice/attachment.hpp"
#include "throughcure/service/record_routes.hpp"
#include "throughcure/service/uploaded_name.hpp"

namespace throughcure::service {

namespace {

constexpr std::array<std::string_view, 6> kAbout = {"approval", "instructions", "certificate",
                                                    "receipt",  "picture",      "other"};

/// Refused as if it were not there when the record is of another site, or of a kind that this role does not see.
void must_see(const store::Reader& reader, const practice::Attachment& about, const Call& call) {
  const auto missing = [&] { return desk::Missing("There is no " + about.belongs_to + " of that number here."); };
  const auto rights = std::ranges::find(record_rights(), about.belongs_to, &RecordRights::kind);
  const store::Table* const table = desk::table_called(about.belongs_to);
  if (rights == record_rights().end() || table == nullptr) throw missing();
  const auto row = reader.newest(*table, about.record);
  const auto of_attachment = store::table_of<practice::Attachment>();
  if (!row || !member_of(call).sees(desk::Places(reader).site_of(of_attachment, base::values_of(about)))) {
    throw missing();
  }
  if (!call.session || !may_use(*call.session, rights->see)) {
    throw desk::Forbidden("Your role does not see a " + about.belongs_to + ", nor what is attached to it.");
  }
}

practice::Attachment asked(const Call& call) {
  practice::Attachment about{.belongs_to = text_in_query(call, "belongs_to").value_or(""),
                             .record = number_in_query(call, "record").value_or(0),
                             .about = text_in_query(call, "about").value_or(""),
                             .name = uploaded_name(call),
                             .sha256 = {}};
  if (desk::table_called(about.belongs_to) == nullptr) {
    base::refuse("belongs_to", "\"" + about.belongs_to + "\" is no kind of record",
                 "Name one: light, radiometer, site");
  }
  if (std::ranges::find(kAbout, about.about) == kAbout.end()) {
    base::refuse("about", "\"" + about.about + "\" is not what a file shows",
                 "Say approval, instructions, certificate, receipt, picture or other");
  }
  base::refuse_if_any(desk::record_problems(store::table_of<practice::Attachment>(), base::values_of(about)));
  return about;
}

std::string media_word(practice::MediaType media) {
  return std::string(base::Words<practice::MediaType>::words.at(static_cast<std::size_t>(media)));
}

Response attach(const Call& call, const RecordsDesk& desk) {
  const practice::Attachment about = asked(call);
  // Told before the one writer is kept waiting.
  (void)practice::accepted_media_type(call.request.body);
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    must_see(writer, about, call);
    document = once(writer, call, [&] {
      const base::AttachmentId id = writer.attach(about, call.request.body);
      const practice::Attachment kept = writer.get<practice::Attachment>(id).value().record;
      return nlohmann::json{
                 {"id", id.number}, {"media", media_word(kept.media)}, {"size", kept.size}, {"sha256", kept.sha256}}
                 .dump() +
             "\n";
    });
  });
  return json_response(201, document);
}

/// RFC 5987, 3.2: attr-char as it is, every other byte of the UTF-8 as "%XX".
std::string extended_value(std::string_view text) {
  constexpr std::string_view digits = "0123456789ABCDEF";
  constexpr std::string_view plain = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789!#$&+-.^_`|~";
  std::string out = "UTF-8''";
  for (const char c : text) {
    if (plain.find(c) != std::string_view::npos) {
      out += c;
      continue;
    }
    const auto byte = static_cast<unsigned char>(c);
    out += {'%', digits[byte / 16], digits[byte % 16]};
  }
  return out;
}

Response give(const Call& call, const RecordsDesk& desk) {
  Response out;
  desk.records->read([&](const store::Reader& reader) {
    const base::AttachmentId id{number_in_path(call, "id")};
    const auto kept = reader.get<practice::Attachment>(id);
    if (!kept) throw desk::Missing("There is no attachment of that number here.");
    must_see(reader, kept->record, call);
    out = text_response(200, media_word(kept->record.media), reader.file(id));
    out.headers.push_back({"content-disposition", "attachment; filename*=" + extended_value(kept->record.name)});
    // Somebody else's bytes: should a browser show them after all, it runs and loads nothing of them.
    out.headers.push_back({"content-security-policy", "sandbox; default-src 'none'"});
  });
  return out;
}

}  // namespace

std::vector<Route> attachment_routes(const RecordsDesk& desk) {
  Route in{Method::post,
           "/api/attachments",
           Access::clinician,
           "Attaches a PDF, PNG or JPEG to a record; the body is its bytes, the header x-file-name its name.",
           on_desk(desk, [desk](const Call& call) { return attach(call, desk); }),
           true,
           "",
           "Attached",
           "belongs_to record about"};
  in.most_body_bytes = practice::kMostAttachedBytes;
  Route out{Method::get, "/api/attachments/{id}", Access::signed_in, "An attached file, to be downloaded.",
            on_desk(desk, [desk](const Call& call) { return give(call, desk); })};
  out.gives_media = "*/*";  // as it was attached
  return {std::move(in), std::move(out)};
}

}  // namespace throughcure::service
