// Uses toprail::receipt as something installed. The folder of rulepacks is its argument.
#include <toprail/receipt.hpp>

int main(int, char** arguments) {
    const toprail::LoadedShelf loaded = toprail::load_shelf(arguments[1]);
    if (!loaded.shelf) {
        return 1;
    }
    const toprail::MadeReceipt made =
        toprail::ReceiptMaker(*loaded.shelf).make({}, *toprail::Date::parse("2024-06-01"));
    return toprail::read_receipt(made.text).receipt ? 0 : 2;
}
