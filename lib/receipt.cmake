# toprail::receipt: receipts, their log and signatures. A target of its own, so that a host without
# receipts needs no libsodium.

find_package(PkgConfig REQUIRED)
# The name is the one under which the installed package finds it again.
pkg_check_modules(toprail_sodium REQUIRED IMPORTED_TARGET libsodium)
find_package(nlohmann_json 3.11 REQUIRED CONFIG)

file(GLOB receipt_sources CONFIGURE_DEPENDS src/receipt/*.cpp)
add_library(toprail_receipt STATIC ${receipt_sources})
add_library(toprail::receipt ALIAS toprail_receipt)
set_target_properties(toprail_receipt PROPERTIES EXPORT_NAME receipt)
toprail_hold_to_warnings(toprail_receipt)
# Receipts name the version that made them.
target_compile_definitions(toprail_receipt PRIVATE TOPRAIL_VERSION="${PROJECT_VERSION}")
target_include_directories(toprail_receipt PRIVATE src)
target_link_libraries(
    toprail_receipt
    PUBLIC toprail
    PRIVATE PkgConfig::toprail_sodium
            $<BUILD_INTERFACE:Boost::headers> $<BUILD_INTERFACE:nlohmann_json::nlohmann_json>)

install(
    TARGETS toprail_receipt
    EXPORT toprailReceiptTargets
    ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT library)
install(
    EXPORT toprailReceiptTargets
    NAMESPACE toprail::
    DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/toprail
    COMPONENT library)
toprail_pkg_config(receipt "receipts" "toprail = ${PROJECT_VERSION}, libsodium" "")
