# Looks for what the Node package is made of, and says in TOPRAIL_NODE_LACKS what is missing; empty
# when nothing is. Node's headers are those of the machine; node-addon-api, headers too, is the one
# thing that npm fetches, at the version and digest of package-lock.json, for the build alone.

set(TOPRAIL_NODE_LACKS "")
find_program(TOPRAIL_NODE_PROGRAM node)
find_program(TOPRAIL_NPM_PROGRAM npm)
mark_as_advanced(TOPRAIL_NODE_PROGRAM TOPRAIL_NPM_PROGRAM)
if(NOT TOPRAIL_NODE_PROGRAM OR NOT TOPRAIL_NPM_PROGRAM)
    set(TOPRAIL_NODE_LACKS "node and npm were not both found")
    return()
endif()

file(REAL_PATH ${TOPRAIL_NODE_PROGRAM} node_file)
cmake_path(GET node_file PARENT_PATH node_folder)
find_path(
    TOPRAIL_NODE_HEADERS node_api.h
    HINTS ${node_folder}/../include/node
    PATHS /usr/include/node /usr/include/nodejs/src)
mark_as_advanced(TOPRAIL_NODE_HEADERS)
if(NOT TOPRAIL_NODE_HEADERS)
    set(TOPRAIL_NODE_LACKS "Node's headers (node_api.h, in Debian's libnode-dev) were not found")
    return()
endif()

set(needs ${CMAKE_CURRENT_BINARY_DIR}/node-needs)
set(TOPRAIL_NODE_ADDON_API ${needs}/node_modules/node-addon-api)
set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS
                                       ${CMAKE_CURRENT_LIST_DIR}/package-lock.json)
file(SHA256 ${CMAKE_CURRENT_LIST_DIR}/package-lock.json wanted)
set(fetched "")
if(EXISTS ${needs}/fetched)
    file(READ ${needs}/fetched fetched)
endif()
if(NOT fetched STREQUAL wanted)
    message(STATUS "Fetching the headers of node-addon-api with npm")
    file(COPY ${CMAKE_CURRENT_LIST_DIR}/package.json ${CMAKE_CURRENT_LIST_DIR}/package-lock.json
         DESTINATION ${needs})
    execute_process(
        COMMAND ${TOPRAIL_NPM_PROGRAM} ci --ignore-scripts --no-audit --no-fund --prefer-offline
        WORKING_DIRECTORY ${needs}
        TIMEOUT 120
        RESULT_VARIABLE status
        OUTPUT_VARIABLE said
        ERROR_VARIABLE said)
    if(NOT status EQUAL 0 OR NOT EXISTS ${TOPRAIL_NODE_ADDON_API}/napi.h)
        set(TOPRAIL_NODE_LACKS "npm could not fetch node-addon-api")
        message(STATUS "${said}")
        return()
    endif()
    file(WRITE ${needs}/fetched ${wanted})
endif()
