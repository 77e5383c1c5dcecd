using TurfWatch.Weather.Http;

namespace TurfWatch.Weather;

/// <summary>Why a weather source gave nothing usable.</summary>
public enum WeatherFault
{
    /// <summary>No answer, a time-out, or an error on the service's side.</summary>
    Unreachable,

    /// <summary>The service turned the request down: blocked, or our mistake.</summary>
    Refused,

    /// <summary>The service does not serve this place.</summary>
    NoCoverage,

    /// <summary>There is nothing at the address that was asked: a base address that is wrong, or a service that has moved.</summary>
    NotThere,

    /// <summary>An answer came that cannot be read or cannot be true.</summary>
    BadAnswer,

    /// <summary>The newest data are older than their limit.</summary>
    TooOld,

    /// <summary>The service asked us to slow down.</summary>
    RateLimited,
}

/// <summary>A weather source gave nothing usable. The message is the operator's text, one line.</summary>
public sealed class WeatherSourceException : Exception
{
    public WeatherSourceException(
        string sourceId,
        string creditName,
        WeatherFault fault,
        string operatorText,
        Exception? inner = null
    )
        : base(ForeignText.OneLine($"{sourceId}: {operatorText}"), inner)
    {
        SourceId = sourceId;
        CreditName = creditName;
        Fault = fault;
    }

    public string SourceId { get; }

    public string CreditName { get; }

    public WeatherFault Fault { get; }

    /// <summary>One plain sentence for the reader of a message; no codes, no addresses.</summary>
    public string ReaderText =>
        Fault switch
        {
            WeatherFault.Unreachable => $"{CreditName} could not be reached.",
            WeatherFault.Refused => $"{CreditName} did not accept our request.",
            WeatherFault.NoCoverage => $"{CreditName} does not cover this place.",
            WeatherFault.NotThere => $"{CreditName} did not have what we asked for.",
            WeatherFault.BadAnswer => $"{CreditName} sent an answer that could not be used.",
            WeatherFault.TooOld => $"The newest data from {CreditName} are too old to rely on.",
            WeatherFault.RateLimited => $"{CreditName} asked us to wait before asking again.",
            _ => $"{CreditName} gave no usable data.",
        };
}
