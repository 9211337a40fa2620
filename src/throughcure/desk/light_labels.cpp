#include "throughcure/desk/light_labels.hpp"

#include "throughcure/base/given.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/desk/today.hpp"

namespace throughcure::desk {

namespace {

LightLabel label_of(const store::Reader& reader, const practice::Member& member, base::LightId id) {
  const auto light = reader.get<fleet::LightEntry>(id);
  if (!light) throw Missing("There is no light of that number here.");
  const auto room = base::given(reader.get<practice::Room>(light->record.room)).record;
  if (!member.sees(room.site)) throw Missing("There is no light of that number here.");
  const auto site = base::given(reader.get<practice::Site>(room.site)).record;
  return {id, light->record.name, light->record.serial, room.name + ", " + site.name};
}

}  // namespace

std::vector<LightLabel> light_labels(const store::Reader& reader, const practice::Member& member,
                                     const std::vector<base::LightId>& lights) {
  std::vector<LightLabel> labels;
  for (const base::LightId id : lights.empty() ? lights_of(reader, member) : lights) {
    labels.push_back(label_of(reader, member, id));
  }
  if (labels.empty()) throw Missing("No light is kept yet: there is nothing to label. Add the first one in Setup.");
  return labels;
}

}  // namespace throughcure::desk
