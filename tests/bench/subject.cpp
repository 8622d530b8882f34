// Entry points: invented_subject, shipped_subject, document, parts_of.
#include "subject.hpp"

#include "bulk/plan_data.hpp"
#include "invented.hpp"
#include "shelf/shelf_data.hpp"

#include <nlohmann/json.hpp>

namespace bench {
namespace {

Subject subject_of(std::string name, const toprail::Shelf& shelf, const Rival& rival) {
    const toprail::BulkPlan lean = plan_of(shelf, false);
    const toprail::BulkPlan full = plan_of(shelf, true);
    return {std::move(name), shelf, lean, full, plain_rules(lean), &rival};
}

}  // namespace

Subject invented_subject() {
    return subject_of("invented", load(invent()), invented_rival);
}

Subject shipped_subject(const std::string& rulepacks) {
    return subject_of("shipped", shipped(rulepacks), shipped_rival);
}

std::string document(const Subject& subject, const TrailParts& parts) {
    const toprail::BulkPlan::Data& data = subject.full.data();
    const toprail::Model& model = data.shelf.data().model;
    nlohmann::ordered_json out;
    out["on"] = data.circumstances.on.text();
    auto& duty = out["duties"][data.duty_names.front()];
    duty["outcome"] = parts.outcome;
    if (!parts.act_as_if.empty()) {
        duty["act-as-if"] = parts.act_as_if;
    }
    auto& trail = out["trail"] = nlohmann::ordered_json::array();
    for (std::size_t p = 0; p < parts.statuses.size(); ++p) {
        const toprail::Provision& provision = model[data.provisions[p]];
        nlohmann::ordered_json step;
        step["provision"] = data.provision_keys[p];
        step["status"] = word(parts.statuses[p]);
        step["cite"] = provision.cite;
        step["source"] = word(provision.mark);
        trail.push_back(std::move(step));
    }
    out["cautions"] = parts.cautions;
    return out.dump();
}

TrailParts parts_of(const std::string& trail) {
    const nlohmann::json read = nlohmann::json::parse(trail);
    const nlohmann::json& duty = read["duties"].front();
    TrailParts parts;
    parts.outcome = duty["outcome"];
    parts.act_as_if = duty.value("act-as-if", "");
    parts.cautions = read["cautions"].get<std::vector<std::string>>();
    for (const nlohmann::json& step : read["trail"]) {
        for (const toprail::Status status : {toprail::Status::stands, toprail::Status::falls,
                                             toprail::Status::open, toprail::Status::displaced}) {
            if (step["status"] == word(status)) {
                parts.statuses.push_back(status);
            }
        }
    }
    return parts;
}

}  // namespace bench
