# toprail::proving: proofs over whole rulepacks. A target of its own, made where the solver Z3 is found.

list(APPEND CMAKE_MODULE_PATH ${CMAKE_CURRENT_SOURCE_DIR})
find_package(Z3 QUIET)
if(NOT Z3_FOUND)
    message(STATUS "Proofs are left out: the solver Z3 (libz3-dev) was not found")
    return()
endif()

file(GLOB proving_sources CONFIGURE_DEPENDS src/proving/*.cpp)
add_library(toprail_proving STATIC ${proving_sources})
add_library(toprail::proving ALIAS toprail_proving)
set_target_properties(toprail_proving PROPERTIES EXPORT_NAME proving)
toprail_hold_to_warnings(toprail_proving)
target_include_directories(toprail_proving PRIVATE src)
target_link_libraries(
    toprail_proving
    PUBLIC toprail
    PRIVATE z3::libz3 $<BUILD_INTERFACE:Boost::headers>)

install(
    TARGETS toprail_proving
    EXPORT toprailProvingTargets
    ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT library)
install(
    EXPORT toprailProvingTargets
    NAMESPACE toprail::
    DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/toprail
    COMPONENT library)
install(
    FILES ${CMAKE_CURRENT_SOURCE_DIR}/FindZ3.cmake
    DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/toprail
    COMPONENT library)
toprail_pkg_config(proving "proofs" "toprail = ${PROJECT_VERSION}, z3" "")
