// Uses toprail::bulk as something installed. The folder of rulepacks is its argument.
#include <toprail/bulk.hpp>

int main(int, char** arguments) {
    const toprail::LoadedShelf loaded = toprail::load_shelf(arguments[1]);
    if (!loaded.shelf) {
        return 1;
    }
    toprail::BulkOptions wanted;
    wanted.duties = {"tie-off"};
    const toprail::PlannedBulk planned =
        toprail::plan_bulk(*loaded.shelf, *toprail::Date::parse("2024-06-01"), wanted);
    std::vector<std::uint8_t> outcomes(2);
    toprail::BulkRun run;
    run.threads = 2;
    const std::vector<toprail::BulkColumn> columns(planned.plan->facts().size());
    return planned.plan->decide(columns, 2, outcomes, run).cases == 2 ? 0 : 2;
}
