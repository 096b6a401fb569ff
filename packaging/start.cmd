@echo off
rem Sets up all that the program needs, then opens its window on the sample workshop. In a
rem command window:
rem
rem     packaging\start.cmd
rem
rem With a command it does that one act without a window; --help names them all:
rem
rem     packaging\start.cmd demo
rem     packaging\start.cmd --help
rem
rem For 64-bit Windows 10 and 11. Keep this file's line ends as CR LF.
setlocal EnableExtensions DisableDelayedExpansion

for %%I in ("%~dp0..") do set "root=%%~fI"
set "venv=%root%\.venv"
set "venv_python=%venv%\Scripts\python.exe"
set "environment=%root%\packaging\environment.py"
set "lock=%root%\packaging\lock\run.txt"

rem Settings of the caller that would put packages elsewhere or let other ones in.
set "PYTHONHOME="
set "PYTHONPATH="
set "PIP_TARGET="
set "PIP_PREFIX="
set "PIP_NO_BINARY="
set "PIP_USER=0"
set "PIP_NO_INPUT=1"
set "PIP_DISABLE_PIP_VERSION_CHECK=1"
rem Redirected output may hold any sign too.
set "PYTHONUTF8=1"
rem Looking for a Python must not install one.
set "PYTHON_MANAGER_AUTOMATIC_INSTALL=false"

if not exist "%venv_python%" goto make
"%venv_python%" -I "%environment%" check run
if %errorlevel% equ 0 goto run
echo The environment in .venv is of no more use; making it anew.

:make
call :find_python
if not defined base_python goto no_python
if exist "%venv%" rmdir /s /q "%venv%"
if exist "%venv%" goto not_removed
echo Making a private environment in .venv.
call %base_python% -m venv "%venv%"
if %errorlevel% neq 0 goto not_made
echo Fetching and installing packages, some 160 MB.
set "try=1"

:install
"%venv_python%" -m pip install --quiet --require-hashes --only-binary :all: --requirement "%lock%"
if %errorlevel% equ 0 goto stamp
if %try% geq 4 goto not_installed
echo That failed, try %try% of 4; trying again in 8 seconds.
set /a try+=1
rem A pause that, unlike timeout, works without a keyboard.
ping -n 9 127.0.0.1 >nul
goto install

:stamp
"%venv_python%" -I "%environment%" stamp run
if %errorlevel% neq 0 goto not_stamped

:run
rem -P keeps a folder of the same name in the caller's own folder from being taken for the program.
set "PYTHONPATH=%root%"
"%venv_python%" -P -m estimator %*
exit /b %errorlevel%

rem Sets base_python to a command that starts a 64-bit Python from 3.11 on that can make
rem environments: first the versions that the lock file is tested on. Called with "call", as some
rem version switchers put batch files in the place of Python.
:find_python
set "base_python="
call :suits py -3.13
call :suits py -3.12
call :suits py -3.11
call :suits python
call :suits py -3
goto :eof

:suits
if defined base_python goto :eof
call %* -I -c "import sys, venv, ensurepip; sys.exit(not (sys.version_info >= (3, 11) and sys.maxsize > 2**32))" >nul 2>nul <nul
if %errorlevel% equ 0 set "base_python=%*"
goto :eof

:no_python
>&2 echo.
>&2 echo No 64-bit Python 3.11 or newer was found. Install one with this line, open a new
>&2 echo command window, and run this again:
>&2 echo.
>&2 echo     winget install --exact --id Python.Python.3.13
>&2 echo.
>&2 echo Where there is no winget: fetch the "Windows installer (64-bit)" of Python 3.13 from
>&2 echo python.org, start it, tick "Add python.exe to PATH", and choose "Install Now".
exit /b 1

:not_removed
>&2 echo.
>&2 echo "%venv%" could not be removed.
>&2 echo Close every program that uses it, remove it, and run this again.
exit /b 1

:not_made
>&2 echo.
>&2 echo No environment could be made in "%venv%".
>&2 echo The messages above say why: is the folder writable, and the disk not full?
exit /b 1

:not_installed
>&2 echo.
>&2 echo The packages in packaging\lock\run.txt could not be installed.
>&2 echo The messages above say why: is the network there, and the disk not full? Are the names of
>&2 echo folders too long? Then move this folder to a short path. Run this again.
exit /b 1

:not_stamped
>&2 echo.
>&2 echo The environment in .venv is not as packaging\lock\run.txt asks. Run this again.
exit /b 1
