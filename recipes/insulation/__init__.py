"""What keeps wire from steel: liner, wedge, separator, end washer."""
