# Two Debian packages by CPack: `cpack -G DEB` in the build folder, configured with -DCMAKE_INSTALL_PREFIX=/usr.
# Needs dpkg-dev (for dependencies by dpkg-shlibdeps). The same source gives the same bytes: tests/package.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME coolband)
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "analyser of cooling systems by their coolant temperature")
set(CPACK_PACKAGE_VENDOR "the coolband developers")
set(CPACK_PACKAGE_CONTACT "coolband developers <developers@coolband.example>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_PROJECT_CONFIG_FILE ${CMAKE_CURRENT_LIST_DIR}/package_date.cmake)
set(CPACK_PRE_BUILD_SCRIPTS ${CMAKE_CURRENT_LIST_DIR}/debian_tree.cmake)
set(CPACK_POST_BUILD_SCRIPTS ${CMAKE_CURRENT_LIST_DIR}/package_members.cmake)
set(CPACK_COOLBAND_DEBIAN_DIR ${PROJECT_SOURCE_DIR}/docs/debian)

set(CPACK_COMPONENTS_ALL program development)
set(CPACK_COMPONENTS_GROUPING IGNORE)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_RELEASE 1)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)

set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME coolband)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION utils)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION "Reads logs of coolant temperature from a digital gauge or a diagnostic port,
says what to check, plans the job, and proves from new logs whether the repair
worked: a command-line program with man pages and completions.")

set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libcoolband-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS "libfmt-dev, zlib1g-dev")
set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION "Static library, headers, and files for find_package of CMake and for
pkg-config, to build programs that judge logs of coolant temperature.")
include(CPack)
