# Debian packages, made with `cpack` in the build folder: the C library, what is needed to build with
# either library, the command with the rulepacks, the Python module, the PostgreSQL extension.
# Included last: it gathers the install rules of the whole project.

if(NOT PROJECT_IS_TOP_LEVEL)
    return()
endif()

# debian_package(GROUP PACKAGE COMPONENTS... DESCRIPTION text [DEPENDS text] [SUGGESTS text])
macro(debian_package group package)
    cmake_parse_arguments(arg "" "DESCRIPTION;DEPENDS;SUGGESTS;SECTION" "COMPONENTS" ${ARGN})
    string(TOUPPER ${group} upper)
    set(CPACK_DEBIAN_${upper}_PACKAGE_NAME ${package})
    set(CPACK_DEBIAN_${upper}_FILE_NAME DEB-DEFAULT)
    set(CPACK_DEBIAN_${upper}_PACKAGE_SECTION ${arg_SECTION})
    set(CPACK_DEBIAN_${upper}_PACKAGE_DEPENDS "${arg_DEPENDS}")
    set(CPACK_DEBIAN_${upper}_PACKAGE_SUGGESTS "${arg_SUGGESTS}")
    set(CPACK_COMPONENT_${upper}_DESCRIPTION "${arg_DESCRIPTION}")
    set(CPACK_COMPONENT_GROUP_${upper}_DESCRIPTION "${arg_DESCRIPTION}")
    foreach(component IN LISTS arg_COMPONENTS)
        string(TOUPPER ${component} upper_component)
        set(CPACK_COMPONENT_${upper_component}_GROUP ${group})
        list(APPEND CPACK_COMPONENTS_ALL ${component})
    endforeach()
endmacro()

set(CPACK_COMPONENTS_ALL "")
set(development library)
if(TARGET toprail_c)
    file(STRINGS bindings/c/include/toprail.h abi REGEX "^#define TOPRAIL_ABI [0-9]+$")
    string(REGEX MATCH "[0-9]+" abi "${abi}")
    # The number of the package is that of the file: programs of two ABIs live side by side.
    debian_package(
        shared libtoprail-c${abi}
        COMPONENTS c
        SECTION libs
        DESCRIPTION "decides when a person on a lift must be tied off: library for C")
    list(APPEND development c-development)
    set(with_shared "libtoprail-c${abi} (= ${PROJECT_VERSION}), ")
endif()
debian_package(
    development libtoprail-dev
    COMPONENTS ${development}
    SECTION libdevel
    # What the core is linked with; components add the libraries that are suggested.
    DEPENDS "${with_shared}libfmt-dev, libspdlog-dev, libyaml-cpp-dev"
    SUGGESTS "libsodium-dev, libz3-dev"
    DESCRIPTION "decides when a person on a lift must be tied off: headers and archives")
if(TARGET toprail-command)
    debian_package(
        command toprail
        COMPONENTS command rulepacks
        SECTION misc
        DESCRIPTION "decides when a person on a lift must be tied off: command and rulepacks")
endif()
if(TARGET toprail_python)
    debian_package(
        python python3-toprail
        COMPONENTS python
        SECTION python
        DEPENDS "python3 (>= ${TOPRAIL_PYTHON_VERSION}), python3 (<< ${TOPRAIL_PYTHON_NEXT})"
        SUGGESTS "python3-numpy, python3-pandas, python3-distributed"
        DESCRIPTION "decides when a person on a lift must be tied off: module for Python")
endif()
if(TARGET toprail_postgres)
    debian_package(
        postgres postgresql-15-toprail
        COMPONENTS postgres
        SECTION database
        DEPENDS "postgresql-15, ${with_shared}toprail"
        DESCRIPTION "decides when a person on a lift must be tied off: PostgreSQL extension")
endif()

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME toprail)
set(CPACK_PACKAGE_VERSION ${PROJECT_VERSION})
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_PACKAGE_CONTACT "The toprail authors <toprail@localhost>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_COMPONENTS_GROUPING ONE_PER_GROUP)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS_PRIVATE_DIRS ${PROJECT_BINARY_DIR}/bindings/c)
include(CPack)
